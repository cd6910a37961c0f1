"""The printing verbs of the command: card and label."""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping, Sequence
from functools import partial
from itertools import product
from pathlib import Path
from typing import Any

import click

from generator.build import load_told
from generator.command.editions import editions
from generator.command.options import chosen, pass_folders, with_verbose
from generator.command.progress import progress
from generator.command.receive import put_on_record
from generator.errors import HandbookError, NotPrinted, PrintFault
from generator.folders import Folders
from generator.model.documents.card import Card
from generator.model.documents.revisions import CARD
from generator.read.revisions import read_issued, read_releases
from generator.render.card import label as labels
from generator.render.card.batch import Job, Outcome, render_cards
from generator.render.card.pdf import Printing
from generator.render.check.report import stands_open
from generator.render.files import write_if_changed
from generator.render.kept_prints import KeptPrints, kept_prints
from generator.render.lock import only_writer
from generator.render.progress import Progress
from generator.render.typesetter import Typesetter
from generator.site_cards import printing_of


@click.command("card")
@click.argument("sites", nargs=-1, metavar="[SITE]...")
@click.option("--all", "every", is_flag=True, help="Every site.")
@click.option("--paper", type=click.Choice(["letter", "a4"]), help="The paper (default: the handbook's).")
@click.option("--combine", is_flag=True, help="Also write one PDF with every card, build/print/cards.pdf.")
@click.option("--hung", is_flag=True, help="Put on record what hangs: SITE CODE [DATE] (today where it is left out).")
@click.option("--release", "name", metavar="NAME", help="The card as that release issued it.")
@with_verbose
@pass_folders
def card_command(
    folders: Folders, /, sites: tuple[str, ...], every: bool, *, paper: str | None, combine: bool, **more: Any
) -> None:
    """Print the one-page quick card of SITE (its id, such as potting-shed) to build/print/.

    A card that has not changed is left alone. A card that cannot be printed is named, and the others are still written;
    the exit status is then 1. With --all the others are counted, and named with --verbose.

    With --hung nothing is printed: `handbook card --hung SITE CODE [DATE]` puts on record that the card with that code
    hangs there since that day. `handbook check` names it from the day on which it is no longer today's card.
    """
    if more["hung"]:
        put_on_record(folders, sites)
        return
    if more["name"] is not None:
        _issued(folders, more["name"], sites)
        return
    outcomes: list[Outcome] = []
    with progress() as told:
        for loaded, folder in editions(folders, told, () if every else sites):
            cards = chosen(loaded.cards, sites, every)
            printing = printing_of(folders.content, loaded.book, paper)
            kept = kept_prints(folders.root, folder, printing.folder)
            made = _print_cards(kept, printing, cards, combine=combine, told=told)
            _tell(made, every and not more["verbose"], folder)
            outcomes += made
    part = loaded.part(cards)
    click.echo(stands_open(part.results, part.book.style))
    failed = [outcome for outcome in outcomes if outcome.state == "failed"]
    if failed:
        raise NotPrinted(f"{len(failed)} of {len(outcomes)} cards are not printed")


def _print_cards(
    kept: KeptPrints, printing: Printing, cards: Mapping[str, Card], *, combine: bool, told: Progress
) -> tuple[Outcome, ...]:
    """Print these cards; name the PDF of all of them where `combine` asks for it."""
    folder = kept.output
    jobs = [Job(one, folder / f"{site}.pdf") for site, one in cards.items()]
    combined = folder / "cards.pdf" if combine else None
    told.step("printing cards", len(jobs))
    with only_writer(folder):
        outcomes = render_cards(jobs, printing, on_progress=lambda *_: told.advance(), combined=combined, kept=kept)
    if combined is not None and combined.exists():
        click.echo(f"all cards: {combined}")
    return outcomes


@click.command("label")
@click.argument("sites", nargs=-1, metavar="[SITE]...")
@click.option("--all", "every", is_flag=True, help="Every site.")
@with_verbose
@pass_folders
def label_command(folders: Folders, sites: tuple[str, ...], *, every: bool, verbose: bool) -> None:
    """Print the panel label and the heater label of SITE to build/print/labels/.

    A label that cannot be printed is named, and the others are still written; the exit status is then 1. Their sizes
    are panel_label and heater_label in site_data/handbook.yaml. With --all they are counted, and named with --verbose.
    """
    folder, failed = folders.output / "print" / "labels", 0
    with progress() as told:
        loaded = load_told(folders, told, () if every else sites)  # a label stands alone
        asked = [*product(chosen(loaded.cards, sites, every).items(), labels.LABELS)]
        settings, printing = loaded.inputs.settings, printing_of(folders.content, loaded.book)
        sizes = {"panel": settings.panel_label, "heater": settings.heater_label}
        setter = Typesetter(printing.folder, labels.TEMPLATE)
        kept = kept_prints(folders.root, folder, printing.folder)
        told.step("printing labels", len(asked))
        with only_writer(folder):
            for (site, card), kind in asked:
                path, data = (
                    folder / f"{site}-{kind}.pdf",
                    labels.label_document(card, printing, kind=kind, size=sizes[kind]),
                )
                try:
                    kept.printed(path, data, card.head.date, make=partial(labels.set_label, setter, card.head, data))
                except PrintFault as fault:
                    failed += 1
                    click.echo(f"not printed: {fault}", err=True)
                else:
                    if verbose or not every:
                        click.echo(f"{kind} label: {path}")
                told.advance()
    if failed:
        raise NotPrinted(f"{failed} of {len(asked)} labels are not printed")
    if every:
        click.echo(f"labels: {len(asked)} in {folder}")


def _issued(folders: Folders, name: str, sites: tuple[str, ...]) -> None:
    """Write the cards of these sites as a release issued them. HandbookError for no site, and for no such release."""
    releases = {release.name: release for release in read_releases(folders.data)}
    if name not in releases:
        raise HandbookError(f"there is no release {name}; the releases are {', '.join(releases) or 'none'}")
    if not sites:
        raise HandbookError("no site named; name the sites whose cards of that release are wanted")
    with only_writer(folders.output / "print"):
        for site in sites:
            path = folders.output / "print" / f"{site}-release-{name}.pdf"
            write_if_changed(path, read_issued(folders.data, releases[name], f"{site}/{CARD}"))
            click.echo(f"card of {site} as release {name} issued it: {path}")


def _tell(outcomes: Sequence[Outcome], counted: bool, folder: Path) -> None:
    """Name each card that is not printed, and the others; these are `counted` where nobody asked for each."""
    for outcome in outcomes:
        if outcome.state == "failed":
            click.echo(f"not printed: {outcome.wrong}", err=True)
        elif not counted:
            click.echo(f"card {outcome.code}: {outcome.job.path} ({outcome.state})")
    if counted:
        states = Counter(outcome.state for outcome in outcomes)
        click.echo(f"cards: {states['written']} written, {states['unchanged']} unchanged, in {folder}")
