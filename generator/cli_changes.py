"""The verbs of the command that look back: changes and release."""

from __future__ import annotations

import datetime

import click
from rich.console import Console

from generator.build import Folders
from generator.changes import card_status, changes
from generator.cli_options import on_day
from generator.errors import SafetyMoved
from generator.read.revisions import FOLDER
from generator.release import release
from generator.render import changes_report as report_texts
from generator.render.changes_report import reissue


@click.command("changes")
@click.argument("old", required=False)
@click.argument("new", required=False)
@click.option(
    "--card", "code", metavar="CODE", help="Is the printed card that bears CODE current? If not, what differs?"
)
@click.option(
    "--format",
    "form",
    type=click.Choice(["table", "markdown", "json"]),
    help="How to print (default: table on a terminal, markdown in a pipe).",
)
@click.pass_obj
def changes_command(folders: Folders, old: str | None, new: str | None, *, code: str | None, form: str | None) -> None:
    """Say what moved from OLD to NEW: limits crossed, findings, cards to reissue, inputs, figures, pages.

    OLD and NEW are each a results.json, a folder of data (site_data, or a project that holds one), the name of a
    release, or a git revision such as HEAD; a word that could be several is taken as the first of these. OLD is the
    last release where it is left out, NEW the project as it stands. Both sides are computed by this version of the
    program, but for stored results. A move too small to be printed is none.

    Exit status 2 when something that touches safety moved: a limit was crossed, a finding changed, or a card that
    hangs somewhere no longer says what holds. With --card: 2 when that card is not current.
    """
    if code is not None:
        if old is not None:
            raise click.UsageError("--card compares one card with today's; leave out OLD and NEW")
        card = card_status(folders, code)
        click.echo(report_texts.card_json(card) if form == "json" else report_texts.card_text(card))
        if not card.current:
            raise SafetyMoved(f"the card {code} is not current")
        return
    report = changes(folders, old, new)
    console = Console()
    if form == "json":
        click.echo(report_texts.changes_json(report))
    elif form == "table" or (form is None and console.is_terminal):
        report_texts.changes_tables(console, report)
    else:
        click.echo(report_texts.changes_markdown(report))
    if report.touches_safety:
        raise SafetyMoved("something that touches safety has moved")


@click.command("release")
@click.argument("name")
@on_day
@click.pass_obj
def release_command(folders: Folders, name: str, day: datetime.datetime) -> None:
    """Freeze the handbook as it stands as the release NAME, in site_data/revisions/NAME/.

    From then on `handbook changes` compares with it, the pages mark what has moved since, and `handbook check` names
    the cards that have changed since. NAME is best the handbook's revision. A release is never overwritten; put it
    under version control.

    Exit status 2, and nothing written, when a site has a stop without a decision that holds on the day of `--on`
    (today where it is left out).
    """
    made = release(folders, name, day.date(), tell=lambda line: click.echo(line, err=True))
    click.echo(f"released {made.name}: {folders.data / FOLDER / made.name}")
    for card in made.changes.cards if made.changes else ():
        click.echo(f"card {card.id}: {reissue(card)}")
