"""Records as PDF, a sheet printed on both sides; a heater of many stages and feeds takes a second sheet."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from generator.errors import PrintFault
from generator.model.content.card_words import CardWord
from generator.model.documents.record_sheet import RecordSheet
from generator.render.card.pdf import Printing, described
from generator.render.record.texts import record_texts
from generator.render.typesetter import PAPERS, Typesetter, creation_time, page_count

TEMPLATE = "record.typ"
FORMS = 5  # of content/print/record.typ, the roomiest first
SIDES, MOST_SIDES = 2, 4


@dataclass(frozen=True, slots=True)
class PrintedRecord:
    """A record as printed: its PDF, the code of its card, its sides, and the form that it is set in."""

    pdf: bytes
    code: str
    sides: int
    form: int


def print_record(setter: Typesetter, sheet: RecordSheet, printing: Printing) -> PrintedRecord:
    """Return a record's PDF in the roomiest form that one sheet holds; else in the closest, on two.

    PrintFault where two sheets do not hold it.
    """
    head, data = sheet.card.head, record_document([(sheet, 0)], printing)
    subject, (texts,) = f"site {head.site_id}", data["records"]
    for form in range(FORMS):
        data = {**data, "records": [{**texts, "form": form}]}
        pdf = setter.pdf(subject, data, creation_time(head.date))
        sides = page_count(pdf)
        if sides <= SIDES or (form == FORMS - 1 and sides <= MOST_SIDES):
            return PrintedRecord(pdf, texts["card"]["code"], sides, form)
    raise PrintFault(subject, f"the record does not fit two sheets of {printing.paper} paper", "shorter titles")


def combine_records(setter: Typesetter, printed: Sequence[tuple[RecordSheet, int]], printing: Printing) -> bytes:
    """Return one PDF of records that were printed before, each with its form, in this order."""
    time = creation_time(printed[0][0].card.head.date)
    return setter.pdf("the combined records", record_document(printed, printing), time)


def record_document(forms: Sequence[tuple[RecordSheet, int]], printing: Printing) -> Mapping[str, Any]:
    """Return the data of content/print/record.typ: what the document says of itself, and its records by their forms."""
    texts = [(record_texts(sheet, printing.style), form) for sheet, form in forms]
    word: CardWord = "record-title" if len(forms) == 1 else "records-title"
    cards = [text["card"] for text, _ in texts]
    own = described(forms[0][0].card.head, word, cards, words=printing.style.words)
    return {**own, "paper": PAPERS[printing.paper], "records": [{**text, "form": form} for text, form in texts]}
