"""What of a handbook's own shape and rules does not suit what the program brings: found before anything is computed."""

from __future__ import annotations

from collections.abc import Collection, Mapping
from pathlib import Path

from generator.errors import CannotCompute, InputFaults
from generator.model.inputs import Inputs
from generator.render.pages.colors import STYLE, unreadable
from generator.render.pages.logo import unfit


def refuse_own(inputs: Inputs, declared: Collection[str], trades: Mapping[str, str]) -> None:
    """InputFaults for a rule of the handbook's own with the name of one of the program's, or for a trade unknown."""
    refusals = [
        (rule.id, CannotCompute(("id",), f"'{rule.id}' is a rule of the program", "another name, and of the file"))
        for rule in inputs.rules
        if rule.id in declared
    ]
    known = dict.fromkeys(trades.values())
    refusals += [
        (rule.id, CannotCompute(("trade",), f"'{rule.trade}' is no trade of content/trades.yaml", ", ".join(known)))
        for rule in inputs.rules
        if rule.trade not in known
    ]
    if refusals:
        raise InputFaults([inputs.fault(("rule", id_), refusal) for id_, refusal in refusals])


def refuse_shape(content: Path, inputs: Inputs) -> None:
    """InputFaults for colors that cannot be read, and for a logo that is none."""
    settings, style = inputs.settings, (content / "assets" / STYLE).read_text(encoding="utf-8")
    refusals = [
        CannotCompute(("colors", key), *words)
        for key, *words in (unreadable(settings.colors, style) if settings.colors else ())
    ]
    for key, named in (("pages_first", settings.pages_first), ("pages_left_out", settings.pages_left_out)):
        refusals += [
            CannotCompute(
                (key, place), f"there is no page '{page}'", "the path of a template in content/pages, less .md.j2"
            )
            for place, page in enumerate(named)
            if not (content / "pages" / f"{page}.md.j2").is_file()
        ]
    if settings.logo and (wrong := unfit(content / "assets", settings.logo)):
        refusals.append(CannotCompute(("logo",), *wrong))
    if refusals:
        raise InputFaults([inputs.fault(("handbook", "handbook"), refusal) for refusal in refusals])
