"""A site's record as it is printed: the texts are the card's and the form's, every value the site's own result."""

from __future__ import annotations

from collections.abc import Iterator

from generator.assemble.card.back import Filled, Given, filled
from generator.assemble.card.heat import record_flow, set_flow
from generator.assemble.documents import SiteView
from generator.model.content.print.card_form import FormPart
from generator.model.content.print.record_form import RecordField, RecordForm, RecordPart, card_parts
from generator.model.documents.card import Card
from generator.model.documents.record_sheet import RecordSheet, SheetField, SheetPart, SheetStage, SheetValve
from generator.model.records import Expected


def record_sheet(view: SiteView, card: Card, form: RecordForm, *, given: Given) -> RecordSheet:
    """Return the record of a site: to start it, or while it must not be started what clears that."""
    at, starts = filled(view, given), card.start_up
    chosen = form.start_up if starts else form.clear
    parts = (_part(part, of_card, view, at=at) for part in chosen for of_card in _of_card(part, given, at))
    reads = starts and set_flow(view) is not None
    return RecordSheet(
        card=card,
        parts=tuple(parts),
        flow=record_flow(view) if starts else None,
        bucket=next(iter(_rows(view, "bucket")), None) if reads else None,
        stages=tuple(_stages(view, reads)) if starts else (),
        valves=tuple(_valves(view)) if starts else (),
    )


def _rows(view: SiteView, item: str) -> tuple[Expected, ...]:
    return tuple(row for row in view.result.expected if row.item == item)


def _of_card(part: RecordPart, given: Given, at: Filled) -> tuple[FormPart, ...]:
    """Return the card's part as it applies here, none where it does not."""
    return tuple(one for one in card_parts(given.form, part.part) if at.holds[one.when])[:1]


def _part(part: RecordPart, of_card: FormPart, view: SiteView, *, at: Filled) -> SheetPart:
    fields = (found for field in part.fields for found in _field(field, of_card, view, at=at))
    return SheetPart(of_card.id, at.sentence(of_card.title), of_card.who, part.content, tuple(fields))


def _field(field: RecordField, of_card: FormPart, view: SiteView, *, at: Filled) -> Iterator[SheetField]:
    """Yield the field where it applies here: a step of the card is the first of its id that does."""
    rows = _rows(view, field.item) if field.item else ()
    if not at.holds[field.when] or (field.item and not rows):
        return
    if field.step is None:
        expected = at.sentence(field.expected) if field.expected else None
        yield SheetField(str(field.id), at.sentence(str(field.text)), expected, rows)
        return
    for step in [one for one in of_card.steps if one.id == field.step and at.holds[one.when]][:1]:
        expected = at.sentence(step.expected) if step.expected and not rows else None
        yield SheetField(step.id, at.sentence(step.text), expected, rows)


def _stages(view: SiteView, reads: bool) -> Iterator[SheetStage]:
    """Yield a row a number of stages; `reads`: at a flow that can be set, at which the outlet is expected."""
    numbers = dict.fromkeys(row.named("stage") for row in _rows(view, "amps"))
    rises, turns_on, drops_out = (
        {row.named("stage"): row for row in _rows(view, item)} for item in ("rise", "turns-on", "drops-out")
    )
    for number in numbers:
        amps = tuple(row for row in _rows(view, "amps") if row.named("stage") == number)
        rise = rises.get(number) if reads else None
        yield SheetStage(int(float(number)), amps, rise, turns_on.get(number), drops_out.get(number))


def _valves(view: SiteView) -> Iterator[SheetValve]:
    items = ("valve-standard", "valve-setting", "valve-full-flow", "valve-least-flow", "valve-shuts-off")
    columns = ({row.named("fixture"): row for row in _rows(view, item)} for item in items)
    standard, setting, full, least, shuts = columns
    for fixture in setting:
        yield SheetValve(fixture, standard[fixture], setting[fixture], full[fixture], least[fixture], shuts[fixture])
