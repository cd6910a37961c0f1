"""Compares two results documents (results_json.py) into a change report. Pure: formatting is passed in."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from typing import Any

from generator.model.changes import ChangeReport, CodeChange, FigureChange, FindingChange, InputChange

Document = Mapping[str, Any]
Show = Callable[[Document], str]
Difference = Callable[[Document, Document], str]


def change_report(
    old: Document, new: Document, names: tuple[str, str], show: Show, difference: Difference
) -> ChangeReport:
    """Return what moved between two results documents.

    `show` gives a figure's printed text and `difference` the printed difference of two, so that a move too small to
    be printed is no change. `names` are the readers' names of the two sides.
    """
    return ChangeReport(
        old=names[0],
        new=names[1],
        generator_note=_generator_note(old, new),
        inputs=tuple(_inputs(old["inputs"], new["inputs"])),
        figures=tuple(_figures(old["figures"], new["figures"], show, difference)),
        findings=tuple(_findings(old["findings"], new["findings"])),
        codes=tuple(_codes(old.get("codes", {}), new.get("codes", {}))),
    )


def _generator_note(old: Document, new: Document) -> str:
    if old["generator"] == new["generator"]:
        return ""
    return f"the old figures came from generator {old['generator']}, the new ones from {new['generator']}"


def _both(old: Document, new: Document) -> Iterator[tuple[str, Any, Any]]:
    """Yield (key, old value, new value) over the keys of both, in the order of the new side, then what is gone."""
    for key in [*new, *(key for key in old if key not in new)]:
        yield key, old.get(key), new.get(key)


def _inputs(old: Document, new: Document) -> Iterator[InputChange]:
    for file, old_values, new_values in _both(old, new):
        for key, before, after in _both(old_values or {}, new_values or {}):
            if before != after:
                yield InputChange(file, key, before, after)


def _figures(old: Document, new: Document, show: Show, difference: Difference) -> Iterator[FigureChange]:
    for figure_id, before, after in _both(old, new):
        texts = tuple(figure and show(figure) for figure in (before, after))
        if texts[0] != texts[1]:
            moved = difference(before, after) if before and after else ""
            label = (after or before)["label"]
            yield FigureChange(figure_id, label, texts[0], texts[1], moved, _crossing(before, after))


def _crossing(before: Document | None, after: Document | None) -> str:
    """Name the limit that a figure crossed: its state changed, or a size, device or count stepped."""
    if before is None or after is None:
        return "new figure" if before is None else "figure gone"
    if before["state"] != after["state"]:
        return f"{before['state']} became {after['state']}"
    if before["kind"] in ("text", "count"):
        return "a size or count stepped"
    return ""


def _findings(old: Document, new: Document) -> Iterator[FindingChange]:
    for finding_id, before, after in _both(old, new):
        standing = tuple(finding and _standing(finding) for finding in (before, after))
        if standing[0] != standing[1]:
            yield FindingChange(finding_id, (after or before)["subject"], standing[0], standing[1])


def _standing(finding: Document) -> str:
    return f"{finding['severity']}, accepted" if finding["accepted"] else str(finding["severity"])


def _codes(old: Document, new: Document) -> Iterator[CodeChange]:
    for kind in ("card", "page"):
        for subject, before, after in _both(old.get(kind, {}), new.get(kind, {})):
            if before != after:
                yield CodeChange(kind, subject, before, after)
