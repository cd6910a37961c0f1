"""The verbs of the command that look back: changes and release."""

from __future__ import annotations

import datetime
from collections.abc import Mapping
from typing import Any

import click
from rich.console import Console

from generator.build import words_of
from generator.command.options import on_day, pass_any_folders, pass_folders
from generator.command.progress import progress
from generator.compare import Said, card_status, changes
from generator.errors import SafetyMoved
from generator.folders import Folders
from generator.model.content.words import Words
from generator.model.documents.change_report import CardReport, ChangeReport
from generator.model.documents.revisions import Approval
from generator.read.handbook import read_handbook
from generator.read.revisions import FOLDER
from generator.release import release
from generator.render.changes import report as report_texts
from generator.render.changes.report import reissue
from generator.render.changes.terminal import changes_text, more_text
from generator.render.check.registers import recall
from generator.render.lock import only_writer


@click.command("changes")
@click.argument("old", required=False)
@click.argument("new", required=False)
@click.option(
    "--card", "code", metavar="CODE", help="Is the printed card that bears CODE current? If not, what differs?"
)
@click.option(
    "--format",
    "form",
    type=click.Choice(["text", "table", "markdown", "json"]),
    default="text",
    show_default=True,
    help="text: what to do and what moved most; the others: everything.",
)
@click.option("--model", metavar="ID", help="A recall: every place of this heater model's units (with --serials).")
@click.option("--serials", metavar="A..B", help="With --model: those whose serial numbers lie from A to B.")
@click.option("--why", is_flag=True, help="After the text, the reason of each piece of field work.")
@click.option("--figures", is_flag=True, help="After the text, limits, checks, inputs and figures, one by one.")
@click.option("--pages", is_flag=True, help="After the text, pages and the words on cards, one by one.")
@pass_any_folders
def changes_command(
    folders: Folders, /, old: str | None, new: str | None, *, code: str | None, form: str, **more: Any
) -> None:
    """Say what moved from OLD to NEW: what to go and do at each site, cards to exchange, checks, the largest moves.

    OLD and NEW are each a results.json, a folder of data (site_data, or a project that holds one), the name of a
    release, or a git revision such as HEAD; a word that could be several is taken as the first of these. OLD is the
    last release where it is left out, NEW the project as it stands. Both sides are computed by this version of the
    program, but for stored results. A move too small to be printed is none.

    Exit status 2 when something that touches safety moved: a limit was crossed, a finding changed, or a card that
    hangs somewhere no longer says what holds. With --card: 2 when that card is not current.
    """
    words = words_of(folders)
    said, model, serials = words.changes, more.pop("model"), more.pop("serials")
    if model is not None:
        for line in recall(read_handbook(folders.data, folders.tables), model, serials, said=words.register):
            click.echo(line)
        return
    if code is not None:
        if old is not None:
            raise click.UsageError("--card compares one card with today's; leave out OLD and NEW")
        _tell_card(card_status(folders, code), said, form)
        return
    report = changes(folders, old, new, words=words)
    _tell(report, words, form, more=more)
    if report.touches_safety:
        raise SafetyMoved("something that touches safety has moved")


def _tell_card(card: CardReport, said: Said, form: str) -> None:
    """Print whether a card is current. SafetyMoved where it is not."""
    click.echo(report_texts.card_json(card) if form == "json" else report_texts.card_text(card, said))
    if not card.current:
        raise SafetyMoved(f"the card {card.code} is not current")


def _tell(report: ChangeReport, words: Words, form: str, *, more: Mapping[str, bool]) -> None:
    said = words.changes
    if form == "json":
        click.echo(report_texts.changes_json(report))
    elif form == "table":
        report_texts.changes_tables(Console(), report, words)
    elif form == "markdown":
        click.echo(report_texts.changes_markdown(report, words))
    else:
        for line in (*changes_text(report, said), *more_text(report, words, **more)):
            click.echo(line)


@click.command("release")
@click.argument("name")
@click.option("--by", required=True, metavar="WHO", help="Who approves it: a role or initials.")
@click.option("--why", required=True, metavar="TEXT", help="Why it goes out.")
@on_day
@pass_folders
def release_command(folders: Folders, name: str, *, by: str, why: str, day: datetime.datetime) -> None:
    """Freeze the handbook as it stands as the release NAME, in site_data/revisions/NAME/.

    From then on `handbook changes` compares with it, the pages mark what has moved since, and `handbook check` names
    the cards that have changed since. NAME is the handbook's revision, or begins with it. A release keeps who approved
    it, when and why, and its cards, labels and book as printed (`handbook card --release NAME SITE`). It is never
    overwritten; put it under version control.

    Refused is a model whose values are not those of the last release under the same revision.

    Exit status 2, and nothing written, when a site has a stop without a decision that holds on the day of `--on`
    (today where it is left out).
    """
    approved = Approval(by, day.date(), why)
    with only_writer(folders.output), progress() as told:
        made = release(folders, name, approved, tell=lambda line: click.echo(line, err=True), progress=told)
    click.echo(f"released {made.name}: {folders.data / FOLDER / made.name}")
    said = words_of(folders).changes
    for card in made.changes.cards if made.changes else ():
        click.echo(f"card {card.id}: {reissue(card, said)}")
