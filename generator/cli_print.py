"""The printing verbs of the command: card, label and print."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from typing import Literal

import click
from rich.console import Console
from rich.progress import Progress as ProgressBar

from generator.assemble.selection import selected
from generator.build import Folders, load
from generator.cards import printing_of
from generator.errors import HandbookError, NotPrinted
from generator.model.card import Card
from generator.render import print_label as labels
from generator.render.files import write_if_changed
from generator.render.pages import render_pages
from generator.render.print_batch import Job, Outcome, Progress, render_cards
from generator.render.print_book import print_book
from generator.render.typesetter import Typesetter

LABELS: tuple[Literal["panel", "heater"], ...] = ("panel", "heater")


@click.command("card")
@click.argument("sites", nargs=-1, metavar="[SITE]...")
@click.option("--all", "every", is_flag=True, help="Every site.")
@click.option("--paper", type=click.Choice(["letter", "a4"]), help="The paper (default: the handbook's).")
@click.option("--combine", is_flag=True, help="Also write one PDF with every card, build/print/cards.pdf.")
@click.pass_obj
def card_command(folders: Folders, sites: tuple[str, ...], every: bool, *, paper: str | None, combine: bool) -> None:
    """Print the one-page quick card of SITE (its id, such as potting-shed) to build/print/.

    A card that has not changed is left alone. A card that cannot be printed is named, and the others are still written;
    the exit status is then 1.
    """
    loaded = load(folders)
    cards = _chosen(loaded.cards, sites, every)
    jobs = [Job(one, folders.output / "print" / f"{site}.pdf") for site, one in cards.items()]
    combined = folders.output / "print" / "cards.pdf" if combine else None
    with _bar(len(jobs)) as progress:
        outcomes = render_cards(
            jobs, printing_of(folders.content, loaded.book, paper), None, on_progress=progress, combined=combined
        )
    for outcome in outcomes:
        _tell(outcome)
    if combined is not None and combined.exists():
        click.echo(f"all cards: {combined}")
    failed = [outcome for outcome in outcomes if outcome.state == "failed"]
    if failed:
        raise NotPrinted(f"{len(failed)} of {len(outcomes)} cards are not printed")


@click.command("label")
@click.argument("sites", nargs=-1, metavar="[SITE]...")
@click.option("--all", "every", is_flag=True, help="Every site.")
@click.pass_obj
def label_command(folders: Folders, sites: tuple[str, ...], every: bool) -> None:
    """Print the panel label and the heater label of SITE to build/print/labels/.

    Their sizes are panel_label and heater_label in site_data/handbook.yaml.
    """
    loaded = load(folders)
    settings = loaded.inputs.settings
    printing = printing_of(folders.content, loaded.book)
    setter = Typesetter(printing.folder, labels.TEMPLATE)
    sizes = {"panel": settings.panel_label, "heater": settings.heater_label}
    for site, one in _chosen(loaded.cards, sites, every).items():
        for kind in LABELS:
            path = folders.output / "print" / "labels" / f"{site}-{kind}.pdf"
            write_if_changed(path, labels.print_label(setter, one, printing, kind=kind, size=sizes[kind]))
            click.echo(f"{kind} label: {path}")


@click.command("print")
@click.option("--model", "models", multiple=True, metavar="ID", help="Only this heater model (may be repeated).")
@click.option("--site", "sites", multiple=True, metavar="ID", help="Only this site (may be repeated).")
@click.option("--paper", type=click.Choice(["letter", "a4"]), help="The paper (default: the handbook's).")
@click.option("--working", is_flag=True, help="Print the working of every figure too: about twice the pages.")
@click.pass_obj
def print_command(
    folders: Folders,
    models: tuple[str, ...],
    sites: tuple[str, ...],
    *,
    paper: Literal["letter", "a4"] | None,
    working: bool,
) -> None:
    """Print the whole handbook as one PDF, build/print/handbook.pdf, from the same pages as the site.

    With --model or --site, only those models and sites, and the pages that are for everyone.
    """
    loaded = load(folders)
    pages = render_pages(folders.content, selected(loaded.book, models, sites))
    path = folders.output / "print" / "handbook.pdf"
    write_if_changed(path, print_book(folders.content, pages, loaded.inputs.settings, paper=paper, working=working))
    click.echo(f"book: {path}")


def _chosen(cards: Mapping[str, Card], sites: tuple[str, ...], every: bool) -> Mapping[str, Card]:
    """Return the cards of the sites named. HandbookError for none named, or one that does not exist."""
    known = ", ".join(cards)
    unknown = [site for site in sites if site not in cards]
    if unknown:
        raise HandbookError(f"no site has the id {', '.join(unknown)}; the sites are {known}")
    if not sites and not every:
        raise HandbookError(f"no site named; name one or more of {known}, or say --all")
    return cards if every else {site: cards[site] for site in sites}


def _tell(outcome: Outcome) -> None:
    if outcome.state == "failed":
        click.echo(f"not printed: {outcome.wrong}", err=True)
        return
    short = f", shorter form without {'; '.join(outcome.left_out)}" if outcome.left_out else ""
    click.echo(f"card {outcome.code}: {outcome.job.path} ({outcome.state}{short})")


@contextmanager
def _bar(total: int) -> Iterator[Progress]:
    """Show a progress bar on a terminal; nothing in a pipe."""
    console = Console(stderr=True)
    with ProgressBar(console=console, transient=True, disable=not console.is_terminal) as bar:
        task = bar.add_task("printing", total=total)
        yield lambda done, _of, _outcome: bar.update(task, completed=done)
