"""The verb for what people in the field send: receive."""

from __future__ import annotations

import datetime
from typing import BinaryIO

import click

from generator.build import load_told, words_of
from generator.command.options import on_day, pass_folders
from generator.errors import HandbookError, NotReceived, masked
from generator.folders import Folders
from generator.model.register.card_codes import read_code
from generator.read.handbook import read_handbook
from generator.read.installed import FOLDER
from generator.read.sent import sent_text
from generator.register import received
from generator.render.lock import only_writer

MOST_LETTERS = 1_000_000  # a day's lines take a few thousand
MOST_BYTES = 20_000_000  # a picture of a telephone takes a few millions


@click.command("receive")
@click.argument("file", type=click.File("rb"))
@on_day
@pass_folders
def receive_command(folders: Folders, file: BinaryIO, *, day: datetime.datetime) -> None:
    """Put short lines sent from the field into the registers, site_data/installed/SITE.yaml.

    FILE is a text, a picture of QR codes, such as a pocket page shows for its readings, or - for the standard input.

    \b
    card SITE CODE [DATE]              this card hangs there; also panel-label, heater-label
    reading SITE [DATE] flow 1.40 gpm, outlet 99 degF, ...   also inlet, volts, pressure, stages
    near-miss SITE [DATE] what happened

    Without a date it is the day of `--on`. A line that cannot be taken is told with its number and what would be right;
    the others are taken, and the exit status is then 1. A line that stands there already is left alone, so that a file
    may be given again. A reading with stages, flow, inlet and outlet is judged by `handbook check` as a point of a
    record, its instruments taken as those of nobody's; another is kept as a note. A visit proves what neither can
    (`handbook record SITE --new`). Empty lines and lines that begin with # are passed over.
    """
    said, inputs = words_of(folders).register, read_handbook(folders.data, folders.tables)
    lines, refused = _lines(file), 0
    stages = {site.id: len(inputs.model(site.heater).stages) for site in inputs.sites}
    made = received(folders.data, lines, list(stages), today=day.date(), stages=stages)
    with only_writer(folders.output, folders.data / FOLDER):
        for number, one in zip(lines, made, strict=True):
            if one.refused:
                refused += 1
                text = said["refused"].format(file=file.name, number=number, line=one.line, wrong=one.refused)
                click.echo(masked(text), err=True)
            elif one.path is None:
                click.echo(masked(said["known-already"].format(line=one.line)))
            else:
                told = said["taken"] if not one.is_reading else said["noted"] if one.lacks else said["judged"]
                lacks = ", ".join(one.lacks)
                click.echo(masked(told.format(line=one.line, path=one.path, site=one.path.stem, lacks=lacks)))
    if refused:
        raise NotReceived(f"{refused} of {len(lines)} lines are refused")


def _lines(file: BinaryIO) -> dict[int, str]:
    """Return the lines of a file by number, empty ones and comments left out. HandbookError for more than is read."""
    data = file.read(MOST_BYTES + 1)
    if len(data) > MOST_BYTES:
        raise HandbookError(f"{masked(file.name)} has more than {MOST_BYTES} bytes; part it, or take a smaller picture")
    text = sent_text(data, masked(file.name))
    if len(text) > MOST_LETTERS:
        raise HandbookError(f"{masked(file.name)} has more than {MOST_LETTERS} letters; part it")
    numbered = {number: line.strip() for number, line in enumerate(text.split("\n"), 1)}
    return {number: line for number, line in numbered.items() if line and not line.startswith("#")}


def put_on_record(folders: Folders, words: tuple[str, ...]) -> None:
    """Put on record which card hangs: SITE CODE [DATE]. HandbookError for words that cannot be taken."""
    if len(words) not in (2, 3):
        raise HandbookError("--hung takes SITE CODE [DATE], such as packing-house 7KQM-2F9D 2026-11-20")
    book, today = load_told(folders).book, datetime.date.today()
    said, codes = book.words.register, book.card_codes
    since = words[2] if len(words) == 3 else today.isoformat()
    with only_writer(folders.output, folders.data / FOLDER):
        (one,) = received(folders.data, {1: f"card {words[0]} {words[1]} {since}"}, codes, today=today)
    if one.refused:
        raise HandbookError(masked(one.refused))
    site, code = words[0], read_code(words[1])
    told = said["hung-current" if codes[site] == code else "hung-stale"]
    click.echo(told.format(code=code, site=site, since=since, new=codes[site]))
