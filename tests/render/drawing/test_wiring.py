"""Conductors, poles, terminals, feeds, stages and elements, read back from the drawing, are those of the results."""

import re
from dataclasses import replace

from generator.assemble.documents import ModelView, SiteView
from generator.assemble.drawings.wiring import model_wiring, site_wiring
from generator.build import Loaded
from generator.model.content.words import Style
from generator.model.documents.drawings import WiringDrawing
from generator.render.drawing.wiring import APART, BREAKER, FIRST, HEATER, SWITCH, TERMINAL, mark
from generator.render.drawing.wiring import wiring as draw
from tests.render.drawing.svg_reader import Read, read, spans

# Colors of conductors. IEC 60445 (read as the public encyclopedia sums it up, Wikipedia, "IEC 60446", merged into it in
# 2010): lines brown, black, grey, a line alone brown, neutral blue, protective green and yellow. NFPA 70 (2023) 200.6
# and 250.119, 110.15 for the orange high leg (from memory; the same in a public reference of wire colors,
# metatek.org/reference/wire_colors): neutral white, equipment ground green; lines black, red, blue by common practice,
# no source.
# Symbols: a breaker as an arc over the gap in American drawings (IEEE 315, from memory; the same in public summaries of
# its single-line symbols), as a contact with a cross by IEC 60617 (read in a public answer: itecnotes.com, "What does
# the x mean on MCB"; the standard itself not read); a disconnect as an open contact in both (from memory).
IEC = {"line": "brown", "line 1": "brown", "line 2": "black", "line 3": "grey", "neutral": "blue"}
US = {"line": "black", "line 1": "black", "line 2": "red", "line 3": "blue", "neutral": "white"}


def views(loaded: Loaded) -> list[tuple[str, WiringDrawing, Style]]:
    words = loaded.book.words
    sites = [
        (one.spec.id, drawing, Style(one.units, words)) for one in loaded.book.sites for drawing in site_wiring(one)
    ]
    models = [
        (one.spec.id, drawing, Style(one.units, words))
        for one in loaded.book.models
        for _, feeds in model_wiring(one)
        for drawing in feeds
    ]
    assert len(sites) >= 7 and len(models) >= 8
    return sites + models


def site(loaded: Loaded, name: str) -> SiteView:
    return next(one for one in loaded.book.sites if one.spec.id == name)


def model(loaded: Loaded, name: str) -> ModelView:
    return next(one for one in loaded.book.models if one.spec.id == name)


def rows(record: WiringDrawing) -> dict[float, str]:
    """The height of each conductor, and what its terminal is marked."""
    return {FIRST + APART * place: mark(wire.role, record.american) for place, wire in enumerate(record.wires)}


def elements(found: Read, record: WiringDrawing) -> list[set[str]]:
    """The terminals that each element stands across, by the heights at which its leads begin or are joined."""
    named = rows(record)
    joined = [(float(one.get("cx", "nan")), float(one.get("cy", "nan"))) for one in found.of_class("node")]
    across: list[set[str]] = []
    for one in found.of_class("lead"):
        path = re.fullmatch(r"M231 ([\d.]+)H([\d.]+)V([\d.]+)H231", one.get("d", ""))
        if path:
            x = float(path[2])
            ends = {float(path[1]), float(path[3])} | {y for at, y in joined if at == x}
            across.append({named[end] for end in ends})
    return across


def test_every_conductor_ends_at_its_terminal_with_its_size_and_colour(loaded: Loaded) -> None:
    for name, record, style in views(loaded):
        found, named = read(draw(record, style)), rows(record)
        terminals = [float(one.get("cy", "nan")) for one in found.of_class("term")]
        assert terminals == list(named), name
        assert all(float(one.get("cx", "nan")) == TERMINAL for one in found.of_class("term"))
        conductors = found.of_class("w")
        assert len(conductors) == len(record.wires)
        for wire, conductor, (y, text) in zip(record.wires, conductors, named.items(), strict=True):
            pieces = spans(conductor)
            assert {piece[0] for piece in pieces} == {y} and pieces[-1][2] == TERMINAL
            gaps = [(before[2], after[1]) for before, after in zip(pieces, pieces[1:], strict=False)]
            assert gaps == ([BREAKER, SWITCH] if wire.switched else []), name  # what breaker and disconnect open
            assert wire.colour.replace(" ", "-") in conductor.get("class", "")
            assert found.text_at(text)[0] > TERMINAL
        colours = IEC | {"ground": "green and yellow"} if not record.american else US | {"ground": "green"}
        assert {wire.role: wire.colour for wire in record.wires}.items() <= colours.items(), name


def test_poles_sizes_device_and_torque_are_the_results(loaded: Loaded) -> None:
    for view in loaded.book.sites:
        for record, feed in zip(site_wiring(view), view.first_page.feeds, strict=True):
            found = read(draw(record, Style(view.units, loaded.book.words)))
            assert sum(wire.switched for wire in record.wires) == int(float(feed.circuit.poles.value or 0))
            sizes = [wire.size.value for wire in record.wires]
            assert sizes == [feed.circuit.conductor.value] * (len(sizes) - 1) + [feed.circuit.ground.value]
            shown = [str(size).replace("mm2", "mm²") for size in sizes]
            assert [one for one in found.texts if one in shown] == shown
            device, poles = feed.circuit.device.value, int(float(feed.circuit.poles.value or 0))
            assert any(f"reaker {float(device or 0):g} A, {poles}-pole" in one for one in found.texts), found.texts
            words = found.words("desc")
            for wire, size in zip(record.wires, shown, strict=True):
                assert f"{mark(wire.role, record.american)}: {size}, {wire.colour}" in words
            assert record.torque == view.result.torque and "lbf in (" in words


def test_conductors_and_elements_are_those_of_the_connection(loaded: Loaded) -> None:
    lines = {1: ["L"], 2: ["L1", "L2"], 3: ["L1", "L2", "L3"]}
    for view in loaded.book.sites:
        for record, circuit in zip(site_wiring(view), view.result.circuits, strict=False):
            found, on = read(draw(record, Style(view.units, loaded.book.words))), circuit.conductors
            ground = "GND" if record.american else "PE"
            named = list(rows(record).values())
            assert [one.replace("L1", "L") if on.lines == 1 else one for one in named] == [
                *lines[on.lines],
                *(["N"] if on.neutral else []),
                ground,
            ]
            feed = next(one for one in view.heater.electrical.feeds if one.name == circuit.name)
            assert tuple(one.stage for one in record.elements) == feed.stages
            boxes = [float(one.get("x", "nan")) + 7.5 for one in found.of_class("element")]
            drawn = [one for one in found.of_class("strong") if float(one.get("x", "nan")) in boxes and one.text]
            assert [one.text for one in drawn if (one.text or "").isdigit()] == [str(number) for number in feed.stages]
            across = elements(found, record)
            assert len(across) == len(record.elements)
            for one, ends in zip(record.elements, across, strict=True):
                pair = view.heater.stages[one.stage - 1].lines
                expected = {"L", "N"} if on.lines == 1 else set((pair or "L1-L2").split("-"))
                assert ends == expected if on.lines < 3 or pair else {"L1", "L2", "L3"}


def test_the_first_element_on_a_feed_loads_the_lines_it_is_drawn_across(loaded: Loaded) -> None:
    # The currents are computed from phasors; the first stage on a feed alone loads the two lines it stands across.
    view = site(loaded, "creamery")
    for record, circuit in zip(site_wiring(view), view.result.circuits, strict=True):
        first = elements(read(draw(record, Style("us", loaded.book.words))), record)[0]
        row = circuit.line_currents[record.elements[0].stage - 1]
        assert {line for line, current in zip(circuit.lines, row, strict=True) if float(current.value or 0.0)} == first


def test_a_breaker_is_an_arc_in_american_drawings_and_a_contact_with_a_cross_in_others(loaded: Loaded) -> None:
    seen = set()
    for name, record, style in views(loaded):
        opened = [wire for wire in record.wires if wire.switched]
        paths = [one.get("d", "") for one in read(draw(record, style)).of_class("sw") if "a6" not in one.get("d", "")]
        arcs, crosses = ([one for one in paths if sign in one] for sign in ("A14 11", "l6 6m0 -6l-6 6"))
        seen.add(record.american)
        assert (len(arcs), len(crosses)) == ((len(opened), 0) if record.american else (0, len(opened))), name
        assert len(paths) == 2 * len(opened), name  # and the disconnect opens each as well
    assert seen == {True, False}


def test_a_model_has_a_drawing_for_each_supply_it_takes(loaded: Loaded) -> None:
    view = model(loaded, "tarn-18")
    by_rating = model_wiring(view)
    assert [rating for rating, _ in by_rating] == list(view.spec.ratings)
    assert [len(feeds) for _, feeds in by_rating] == [2, 2, 2]
    assert [len(feeds[0].wires) for _, feeds in by_rating] == [3, 3, 4]
    for (_, feeds), place in zip(by_rating, (0, 2, 4), strict=True):
        assert [one.device for one in feeds] == [one.device for one in view.result.circuits[place : place + 2]]


def test_a_stopped_site_shows_the_circuit_to_install_or_none(loaded: Loaded) -> None:
    view = site(loaded, "bunkhouse")
    (record,) = site_wiring(view)
    texts = read(draw(record, Style("us", loaded.book.words))).texts
    assert "TO INSTALL: breaker 50 A, 2-pole" in texts and "8 AWG" not in texts
    undone = tuple(replace(one, device=replace(one.device, value=None)) for one in view.result.circuits)
    void = replace(view.result, circuits=undone)
    assert site_wiring(replace(view, result=void)) == ()


def test_it_says_in_which_panel_and_which_circuit_the_breaker_stands(loaded: Loaded) -> None:
    view = site(loaded, "creamery")
    both = [" ".join(read(draw(one, Style("us", loaded.book.words))).texts) for one in site_wiring(view)]
    label, numbers = view.spec.supply.panel.label, view.spec.circuit_numbers
    assert label and numbers.keys() == {"A", "B"}
    for text, own, other in zip(both, numbers.values(), reversed(numbers.values()), strict=True):
        assert f"Panel {label}, circuit {own}" in text and other not in text
    bare = replace(site_wiring(view)[0], panel="")
    assert f"Circuit {numbers['A']}" in read(draw(bare, Style("us", loaded.book.words))).texts
    none = replace(bare, breaker="", panel="P5")
    assert not any("ircuit" in one for one in read(draw(none, Style("us", loaded.book.words))).texts)


def test_a_guard_is_shown_as_the_findings_have_it(loaded: Loaded) -> None:
    for name, guard, text in (
        ("bunkhouse", "ask", "GFCI: ask, see Checks"),
        ("packing-house", "none", ""),
        ("seedling-house", "stated", "RCD 30 mA"),
    ):
        (record,) = site_wiring(site(loaded, name))
        texts = read(draw(record, Style("us", loaded.book.words))).texts
        assert record.guard == guard
        assert text in texts if text else not any("GFCI" in one or "RCD" in one for one in texts)


def test_a_residual_current_device_that_is_too_large_is_never_shown_as_the_one_to_have(loaded: Loaded) -> None:
    """The rule finds it so; on the drawing of the circuit to install it once stood as if it belonged there."""
    view = site(loaded, "seedling-house")
    found = [
        replace(one, case="too-large") if one.rule == "residual-current-protection" else one
        for one in view.result.findings
    ]
    (record,) = site_wiring(replace(view, result=replace(view.result, findings=tuple(found))))
    assert record.guard == "too large"
    assert "RCD 30 mA there is TOO LARGE, see Checks" in read(draw(record, Style("us", loaded.book.words))).texts


def test_many_elements_are_drawn_by_the_lines_they_share(loaded: Loaded) -> None:
    (record,) = site_wiring(site(loaded, "packing-house"))
    one = record.elements[0]
    many = replace(record, elements=tuple(replace(one, stage=number) for number in range(1, 13)))
    found = read(draw(many, Style("us", loaded.book.words)))
    assert len(found.of_class("element")) == 1
    assert "L1–L2: elements 1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 11, 12" in " ".join(found.texts)
    assert all(float(box.get("x", "nan")) + 15.0 <= HEATER[1] for box in found.of_class("element"))


def test_the_second_of_three_lines_of_a_high_leg_delta_is_orange(loaded: Loaded) -> None:
    # NFPA 70 (2023) 110.15, from memory: the conductor of higher voltage to ground is orange.
    view = site(loaded, "creamery")
    supply = view.spec.supply.model_copy(update={"system": "high-leg delta"})
    moved = replace(view, spec=view.spec.model_copy(update={"supply": supply}))
    assert [wire.colour for wire in site_wiring(moved)[0].wires] == ["black", "orange", "blue", "green"]
    # Of two lines either may be the high leg, and nobody has said which two they are: none is given a color.
    view = site(loaded, "packing-house")
    supply = view.spec.supply.model_copy(update={"system": "high-leg delta"})
    moved = replace(view, spec=view.spec.model_copy(update={"supply": supply}))
    assert [wire.colour for wire in site_wiring(moved)[0].wires] == ["", "", "green"]
