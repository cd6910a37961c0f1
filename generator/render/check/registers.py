"""What the registers of the sites tell: cards and labels to exchange, near misses, where heaters of a recall are."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from typing import get_args

from generator.assemble.documents import Book
from generator.errors import HandbookError
from generator.model.content.register_words import RegisterWord
from generator.model.inputs import Inputs
from generator.model.register.installed import Installed, What
from generator.model.site import Site
from generator.render.changes.report import cards_notice

Said = Mapping[RegisterWord, str]


def exchange_lines(book: Book, installed: Mapping[str, Installed]) -> Iterator[str]:
    """Yield what hangs and is not today's, whatever was released; of sites without a card on record, by release."""
    said, empty = book.words.register, Installed()
    known = set()
    for site in (view.spec.id for view in book.sites):
        for what in get_args(What):
            hangs = installed.get(site, empty).hung(what)
            known |= {site} if hangs and what == "card" else set()
            if hangs and hangs.code != book.card_codes[site]:
                yield said["out-of-date"].format(
                    what=said[what].capitalize(),
                    site=site,
                    old=hangs.code,
                    since=hangs.since,
                    new=book.card_codes[site],
                )
    yield from cards_notice(book.history, book.words.changes, {view.spec.id for view in book.sites} - known)


def near_misses(book: Book, installed: Mapping[str, Installed]) -> Iterator[str]:
    """Yield the near misses that nobody has dealt with."""
    for view in book.sites:
        for one in installed[view.spec.id].open_near_misses if view.spec.id in installed else ():
            yield book.words.register["near-miss"].format(
                site=view.spec.id, date=one.date, text=f"{one.what.rstrip('.')}."
            )


def recall(inputs: Inputs, model: str, serials: str | None, *, said: Said) -> Iterator[str]:
    """Yield each place at which a heater of a model and of a range of serial numbers, `A..B`, is, was, or may be.

    A number that cannot be held to the range, and a site without one, is told as unknown: someone must look.
    HandbookError for an unknown model, and for what is no range.
    """
    models = [one.id for one in inputs.models]
    if model not in models:
        raise HandbookError(f"no model has the id {model}; the models are {', '.join(models)}")
    ends = _ends(serials) if serials is not None else None
    told = [line for site in inputs.sites for line in _places(site, inputs, model, ends=ends, said=said)]
    yield from told or [said["nowhere"]]


def _places(site: Site, inputs: Inputs, model: str, *, ends: tuple[str, str] | None, said: Said) -> Iterator[str]:
    units = inputs.installed[site.id].heaters if site.id in inputs.installed else ()
    own = [unit for unit in units if unit.model == model]
    unknown = False
    for unit in own:
        inside = _inside(unit.serial, ends)
        unknown |= inside is None
        if inside:
            word: RegisterWord = "there" if unit.until is None else "left"
            yield said[word].format(site=site.id, serial=unit.serial, since=unit.since, until=unit.until)
    if site.heater == model and all(unit.until is not None for unit in own):
        inside = _inside(site.serial_number, ends)
        unknown |= inside is None
        if inside:
            yield said["there-by-site"].format(site=site.id, serial=site.serial_number)
    if unknown:
        yield said["unknown-serial"].format(site=site.id)


def _ends(serials: str) -> tuple[str, str]:
    first, dots, last = (part.strip() for part in serials.partition(".."))
    if not dots or _form(first) != _form(last) or _order(first) > _order(last):
        wrong = f"'{serials}' is no range of serial numbers"
        raise HandbookError(f"{wrong}; write the first and the last, such as QB9-0400..QB9-0450")
    return first, last


def _inside(serial: str | None, ends: tuple[str, str] | None) -> bool | None:
    """Return whether a serial number lies in the range; None where that cannot be told."""
    if serial is None or (ends is not None and _form(serial) != _form(ends[0])):
        return None
    return ends is None or _order(ends[0]) <= _order(serial) <= _order(ends[1])


def _form(serial: str) -> str:
    return re.sub("[0-9]+", "0", serial.upper().replace(" ", ""))


def _order(serial: str) -> list[int]:
    return [int(number) for number in re.findall("[0-9]+", serial)]
