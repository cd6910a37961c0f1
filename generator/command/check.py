"""The verb that judges: check."""

from __future__ import annotations

import datetime
from collections.abc import Iterator

import click

from generator.assemble.documents import Book
from generator.build import Loaded, in_english, load
from generator.command.options import chosen, on_day, pass_folders
from generator.command.progress import progress
from generator.command.starter import examples
from generator.errors import CannotCompute, Fault, InputFaults, OpenStops
from generator.fleet.processes import judged_here
from generator.fleet.scheduler import judged_on
from generator.fleet.shares import shares
from generator.folders import Folders
from generator.model.figures import Severity
from generator.model.inputs import Inputs
from generator.model.results import Results
from generator.model.settings import ENGLISH
from generator.project import replaced
from generator.read.apart import read_apart
from generator.read.content.overlay import read_reviewed
from generator.read.content.untranslated import untranslated
from generator.render.changes.report import unrevised_notice
from generator.render.check.programs import (
    escaped,
    faults_annotations,
    findings_annotations,
    findings_json,
    lapsed_decisions,
)
from generator.render.check.registers import exchange_lines, near_misses
from generator.render.check.report import SEVERITIES, Shown, check_lines
from generator.render.check.site_status import overdue_checks, sites_csv
from generator.render.pages.printable import unprintable
from generator.render.pages.write import render_pages
from generator.render.progress import Progress

SCHEDULER = "handbook.scheduler"  # where the context keeps the address that was named


@click.command("check")
@click.argument("sites", nargs=-1, metavar="[SITE]...")
@click.option(
    "--severity",
    type=click.Choice(SEVERITIES),
    default="attention",
    show_default=True,
    help="List findings as grave as this and graver.",
)
@click.option("--why", is_flag=True, help="Say every finding in full: what was found, why it matters, who says so.")
@click.option(
    "--format",
    "form",
    type=click.Choice(["table", "json", "csv", "github", "codes"]),
    default="table",
    help="How to print.",
)
@click.option(
    "--scheduler",
    metavar="ADDRESS",
    expose_value=False,
    callback=lambda context, _option, address: context.meta.update({SCHEDULER: address}),
    help="With --format codes: judge on the Dask scheduler there, such as tcp://127.0.0.1:8786, not on this machine.",
)
@on_day
@click.pass_context
@pass_folders
def check_command(
    folders: Folders,
    context: click.Context,
    sites: tuple[str, ...],
    *,
    severity: Severity,
    why: bool,
    form: str,
    day: datetime.datetime,
) -> None:
    """Judge every site, or SITE alone: a row a site, its stops, its open points, and what stands open, counted.

    Where more than 40 points are open they stand by check, a line each; stops always stand one by one. As csv and json
    it lists where every site stands, with the day of its next check; json holds every finding too. As codes it is a
    line of JSON a finding, in SI numbers and without a sentence: quicker, for many sites and for programs.

    Named besides are the decisions that have lapsed, since what is found grew worse or their last day is before the day
    of `--on` (today where it is left out), the sites whose next check was due before that day, near misses, and every
    card and label on record that is not today's, until it is exchanged (`handbook card --hung`); of sites without a
    card on record, those whose card changed since the last release.

    As codes a file with a fault hides no other, and nothing rests on it: until it is mended, what else is on the panel
    or the well of its site is judged without it. The exit status is then 1.

    Exit status 2 when a site has a finding of severity stop without a decision that holds on that day.
    """
    if form == "codes" or context.meta[SCHEDULER]:
        _print_codes(folders, sites, day.date(), form=form, scheduler=context.meta[SCHEDULER])
        return
    with progress() as told:
        loaded = _loaded(folders, form, told)
        _refuse_unfit_pages(folders, loaded.part(sites).book, told)
        part = (in_english(folders, loaded) or loaded).part(sites)
    book, inputs, results = part.book, part.inputs, part.judged_on(day.date())
    if form == "json":
        click.echo(findings_json(inputs, results, book.style, day=day.date()))
    elif form == "csv":
        click.echo(sites_csv(inputs, results, day.date()), nl=False)
    elif form == "github":
        click.echo(findings_annotations(inputs, results, book.style))
    besides = [
        *_example_values(part.inputs, book),
        *_own_files(folders, book),
        *_in_language(folders, loaded.book.settings.language, book),
        *_besides(book, results, day.date()),
        *near_misses(book, inputs.installed),
    ]
    besides += exchange_lines(book, inputs.installed)
    if form == "table":
        for line in check_lines(book, results, Shown(severity, why, bool(sites)), besides=besides):
            click.echo(line)
    for line in besides if form != "table" else ():
        click.echo(f"::warning::{escaped(line)}" if form == "github" else line, err=form != "github")
    if stops := results.open_stops:
        if form == "table":  # which names them all
            context.exit(OpenStops.exit_status)
        raise OpenStops(stops)


def _print_codes(
    folders: Folders, sites: tuple[str, ...], day: datetime.date, *, form: str, scheduler: str | None
) -> None:
    """Print the findings of each site as it is judged; a site with a fault hides no other. InputFaults, or else
    OpenStops with all of them, at the end."""
    if form != "codes":
        raise click.UsageError("--scheduler goes with --format codes")
    apart, stops, faults = read_apart(folders.data, folders.tables), list[str](), list[Fault]()
    named = chosen(dict.fromkeys(apart.ids), sites, not sites)
    given = shares(apart.inputs, apart.sites(named), day, beside=apart.beside)
    for share in judged_on(scheduler, given) if scheduler else judged_here(given):
        for lines in share.lines:
            click.echo(lines)
        stops += share.stops
        for one in share.refused:
            faults.append(apart.fault(one.site, CannotCompute(one.where, one.wrong, one.expected)))
    if faults := [*apart.faults, *faults]:
        raise InputFaults(faults)
    if stops:
        raise OpenStops(stops)


def _loaded(folders: Folders, form: str, told: Progress) -> Loaded:
    """Load the project. InputFaults as they are, and as annotations first where those were asked for."""
    try:
        return load(folders, told)
    except InputFaults as refused:
        if form == "github":
            click.echo(faults_annotations(refused.faults))
        raise


def _refuse_unfit_pages(folders: Folders, book: Book, told: Progress) -> None:
    """Find a template at fault here, not only by the build, and what the book could not show. InputFaults for that."""
    rendered = render_pages(folders.content, book, folders.root, progress=told)
    if faults := tuple(unprintable(folders.content, rendered)):
        raise InputFaults(faults)


def _example_values(inputs: Inputs, book: Book) -> Iterator[str]:
    """Yield which files hold the values that the program began them with."""
    if files := examples(inputs):
        yield book.style.words.check["example-values"].format(files=", ".join(files))


def _own_files(folders: Folders, book: Book) -> Iterator[str]:
    """Yield which files of the program the project replaces: safety notices one by one, always."""
    own, said = replaced(folders.root), book.style.words.check
    for one in own:
        if one.is_safety:
            yield said["own-notices"].format(path=one.path)
        if one.lost:
            yield said["notices-left-out"].format(path=one.path, notices=", ".join(one.lost))
        if one.changed is not False:
            yield said["original-unknown" if one.changed is None else "original-changed"].format(path=one.path)
    if others := [one.path for one in own if not one.is_safety]:
        yield said["own-files"].format(paths=", ".join(others))


def _in_language(folders: Folders, language: str, book: Book) -> Iterator[str]:
    """Yield what the language of the handbook lacks: words and pages, and somebody who has reviewed them."""
    said = book.style.words.check
    if language == ENGLISH:
        return
    if lacking := untranslated(folders.content, language):
        pages = sum(one.is_page for one in lacking)
        texts = sum(one.texts for one in lacking) - pages
        files = ", ".join(one.path for one in lacking)
        yield said["untranslated"].format(language=language, texts=texts, pages=pages, files=files)
    file = read_reviewed(folders.content, language)
    if file is None or file.value is None:
        yield said["not-reviewed"].format(language=language)
    else:
        yield said["reviewed"].format(language=language, by=file.value.reviewed_by, date=file.value.date.isoformat())


def _besides(book: Book, results: Results, day: datetime.date) -> Iterator[str]:
    """Yield what is no finding: decisions that have lapsed, checks that are overdue, models to revise."""
    yield from lapsed_decisions(results.findings, book.style)
    yield from overdue_checks(results, day, book.words)
    yield from unrevised_notice(book.history, book.words.changes)
