"""The verb of records and readings: record."""

from __future__ import annotations

import datetime
from functools import partial
from pathlib import Path
from typing import Any

import click

from generator.build import Loaded, load_told
from generator.command.editions import editions
from generator.command.options import chosen, pass_folders, with_verbose
from generator.command.progress import progress
from generator.errors import HandbookError, NotPrinted, PrintFault, in_words
from generator.folders import Folders
from generator.model.documents.record_sheet import RecordSheet
from generator.render.card.pdf import Printing, code_of
from generator.render.files import write_if_changed
from generator.render.kept_prints import KeptPrints, kept_prints
from generator.render.lock import only_writer
from generator.render.progress import Progress
from generator.render.reading_file import reading_text
from generator.render.record.pdf import TEMPLATE, combine_records, print_record, record_document
from generator.render.typesetter import Typesetter
from generator.site_cards import printing_of, records_of


@click.command("record")
@click.argument("sites", nargs=-1, metavar="[SITE]...")
@click.option("--all", "every", is_flag=True, help="Every site.")
@click.option("--paper", type=click.Choice(["letter", "a4"]), help="The paper (default: the handbook's).")
@click.option("--combine", is_flag=True, help="Also write one PDF with every record, build/print/records.pdf.")
@click.option(
    "--new",
    "day",
    type=click.DateTime(["%Y-%m-%d"]),
    is_flag=False,
    flag_value=datetime.date.today().isoformat(),
    metavar="[DATE]",
    help="Write a file for the readings of a visit on this day instead; today where it is left out.",
)
@with_verbose
@pass_folders
def record_command(
    folders: Folders, /, sites: tuple[str, ...], every: bool, *, paper: str | None, combine: bool, **more: Any
) -> None:
    """Print the commissioning and service record of SITE to build/print/records/: what is expected, and blanks.

    A record that cannot be printed is named, and the others are still written; the exit status is then 1. With --all
    the others are counted, and named with --verbose.

    With --new, write a file of readings of SITE to fill in instead, site_data/readings/SITE/DATE.yaml. Beside each key
    stands what is expected there. Until it is filled in `handbook check` names what is missing. A file that is there
    already is left alone.
    """
    failed, only = 0, () if every else sites
    with progress() as told:
        if (day := more["day"]) is not None:
            loaded = load_told(folders, told, only)
            asked = [*chosen(loaded.cards, sites, every)]
            with only_writer(folders.output, *(folders.data / "readings" / site for site in asked)):
                for site in asked:
                    _new(folders, loaded, site, day=day)
            return
        for loaded, folder in editions(folders, told, only):
            sheets = chosen(records_of(folders.content, loaded.book, loaded.cards), sites, every)
            printing = printing_of(folders.content, loaded.book, paper)
            told.step("printing records", len(sheets))
            kept = kept_prints(folders.root, folder, printing.folder)
            failed += _print(kept, printing, sheets, combine=combine, told=told, named=more["verbose"] or not every)
    if failed:
        raise NotPrinted(f"{failed} of {len(sheets)} records are not printed")
    if every:
        click.echo(f"records: {len(sheets)} in {folders.output / 'print' / 'records'}")


def _print(
    kept: KeptPrints,
    printing: Printing,
    sheets: dict[str, RecordSheet],
    *,
    combine: bool,
    told: Progress,
    named: bool,
) -> int:
    """Print these records, each `named` where that is asked for; return how many are not printed."""
    setter, printed, folder = Typesetter(printing.folder, TEMPLATE), [], kept.output
    with only_writer(folder / "records", folder):
        for site, sheet in sheets.items():
            path = folder / "records" / f"{site}.pdf"
            try:
                written, code, form = _print_one(setter, sheet, printing, kept=kept, path=path)
                printed.append((sheet, form))
                if named:
                    click.echo(f"record of card {code}: {path} ({'written' if written else 'unchanged'})")
            except (PrintFault, OSError) as fault:
                click.echo(f"not printed: {in_words(fault)}", err=True)
            told.advance()
        if combine and printed:
            data, date = record_document(printed, printing), printed[0][0].card.head.date
            kept.printed(folder / "records.pdf", data, date, make=partial(combine_records, setter, printed, printing))
            click.echo(f"all records: {folder / 'records.pdf'}")
    return len(sheets) - len(printed)


def _print_one(
    setter: Typesetter, sheet: RecordSheet, printing: Printing, *, kept: KeptPrints, path: Path
) -> tuple[bool, str, int]:
    """Have the record at `path`; return whether that moved, its card's code, and the form that it is set in."""
    data = record_document([(sheet, 0)], printing)
    key = kept.key(data, sheet.card.head.date)
    if (form := kept.note(path, key)) is not None:
        return False, code_of(data), int(form)
    done = print_record(setter, sheet, printing)
    written = write_if_changed(path, done.pdf)
    kept.keep(path, key, done.pdf, note=str(done.form))
    return written, done.code, done.form


def _new(folders: Folders, loaded: Loaded, site: str, *, day: datetime.datetime) -> None:
    path = folders.data / "readings" / site / f"{day:%Y-%m-%d}.yaml"
    if path.exists():
        raise HandbookError(f"{path}: this visit is on record already; name another day, or write in that file")
    found = next(one for one in loaded.book.sites if one.spec.id == site)
    style, card = loaded.book.style, loaded.book.card_codes[site]
    text = reading_text(found.result, found.spec.title, found.heater.title, card=card, style=style)
    write_if_changed(path, text.encode())
    click.echo(path)
