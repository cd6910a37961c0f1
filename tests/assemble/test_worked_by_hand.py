"""Two sites worked by hand from nameplate to printed word, one on NFPA 70 and one on IEC 60364: results, page and card.

The arithmetic stands here with the tables it was read from. Tables of the codes: from memory. Enthalpy h [kJ/kg] of
saturated liquid water: Moran and Shapiro, Fundamentals of Engineering Thermodynamics, Table A-2, from memory, linear
between its rows; density from its v_f. The data of both sites stand in joint_sites.
"""

from __future__ import annotations

import re

import pytest

from generator.model.figures import Figure
from generator.render.card.label import TEMPLATE, print_label
from generator.render.card.texts import card_texts
from generator.render.pages.write import render_pages
from generator.render.typesetter import Typesetter
from generator.site_cards import printing_of
from tests.assemble.joint_sites import CONTENT, Joined, joined
from tests.print.reading import squeezed, text_of

GPM = 3.785411784e-3 / 60.0
L_MIN = 1e-3 / 60.0
ALIKE = 1e-3  # what is read off a table of water may differ from the program's equations


# three-taps: 8.4 kW on 240 V, in use for less than three hours, 37 ft in PVC conduit at 38 degC, copper THWN-2.
# Load: 8400 W / 240 V = 35 A. Not continuous, as the site states: 100 %.
# Breaker: least standard rating (240.6(A): ... 30, 35, 40 ...) not below 35 A: 35 A; 2 poles, one a line (240.15(A)).
#   At most 150 % of 35 A = 52.5 A, next standard size 60 A (422.11(E)(3)); 125 % would be 43.75 A, a 45 A device.
# Wire: terminals of 60 degC at the heater, 75 degC on the route: the 60 degC column of Table 310.16 governs
#   (110.14(C)(1)): 10 AWG 30 A, 8 AWG 40 A: 8 AWG. Its insulation, 90 degC: 55 A x 0.91 for 36 to 40 degC (Table
#   310.15(B)(1)(1)) = 50.05 A, more than 40 A. 40 A is protected by 35 A.
# Ground: Table 250.122, a device over 20 A and to 60 A: 10 AWG. 8 AWG is what the load asks for: nothing is enlarged.
# Limit: the public basin states none; public hand washing is held to 110 degF. Target: 104 degF, there too.
# Flow window, no selector: stage 4, the highest. Least: the limit at 70 degF with all 8400 W:
#   h(43.33 degC) - h(21.11 degC) = 181.49 - 88.61 = 92.88; rho(21.11 degC) = 998.0;
#   8.400 / (998.0 x 92.88) = 9.062e-5 m3/s = 1.436 gpm; stage 4 turns on at 1.35 gpm already. Up: 1.44 gpm, 5.5 L/min.
# Greatest: the target at 68 degF with what the drop leaves. 8 AWG stranded, 0.778 ohm in 1000 ft (Chapter 9 Table 8):
#   2 x 37 ft = 0.05757 ohm beside 240^2 / 8400 = 6.857 ohm: 238.00 V, 8261 W. h(40) - h(20) = 167.57 - 83.96 = 83.61;
#   8.261 / (998.2 x 83.61) = 9.898e-5 m3/s = 1.569 gpm. Down: 1.56 gpm, 5.9 L/min.
# Drop: 240 V less 238.00 V is 2.00 V, 0.833 %.
# Outlet with all three fixtures open, 0.6 + 0.5 + 1.3 = 2.4 gpm, 1.514e-4 m3/s: in winter 83.96 + 8.261 / (998.2 x
#   1.514e-4) = 138.62: between 30 degC (125.79) and 35 degC (146.68): 33.07; in summer 88.61 + 8.400 / (998.0 x
#   1.514e-4) = 144.20: 34.41.
# Hottest while throttling, at 70 degF: just above 0.89 gpm, where stage 4 is off and stage 3 about to be:
#   6720 W / (998.0 x 5.615e-5 m3/s) = 119.92 kJ/kg; h = 208.53: between 45 degC (188.45) and 50 degC (209.33): 49.81.
#   Stage 4 at 1.24 gpm gives 46.9 degC, stage 2 at 0.58 gpm 48.6 degC, stage 1 at 0.33 gpm 40.5 degC.
US = {
    "page": (
        "Circuit A35 A, 2-pole; conductor 8 AWG copper THWN-2, Rigid PVC conduit, terminals 60 °C",
        "Flow window1.44 gpm to 1.56 gpm",
        # 70 °F and 1.05 × 1.05² ÷ 0.9 times the rise of 51.6 °F: input, supply and drop-out flows at their ends
        "Hottest water122 °F, up to 137 °F ▲ above the limit",
        "Limit at the tap110 °F",
    ),
    "circuit": {"device": "35 A", "poles": "2", "conductor": "8 AWG", "ground": "10 AWG"},
    "window": "1.44 to 1.56 gpm",
    "limit": "110 °F",
    "label": (
        "35 A, 2\u2011pole · Circuit wire 8 AWG, ground 10 AWG 240 V single-phase, 2 lines, no neutral: copper THWN-2, "
        "terminals rated 60 °C, Rigid PVC conduit"
    ),
    "drop": (2.00, 0.00833),
    "outlets": (2.4 * GPM, 33.07, 34.41),
    "values": (35.0, 2, "8 AWG", "10 AWG", 1.436 * GPM, 1.569 * GPM, 49.81 + 273.15),
}

# metric: 5.75 kW on 230 V, continuous, 14 m of single cores in conduit on a wall (B1) beside one more circuit, 40 degC.
# Load: 5750 W / 230 V = 25 A. Breaker: 25 A (IEC 60898: ... 20, 25, 32 ...), 2 poles: line and neutral.
# Wire: I_z >= 25 A. Table B.52.2, B1, PVC, two loaded: 4 mm2 32 A, 6 mm2 41 A; x 0.87 at 40 degC (B.52.14) x 0.80 for
#   two circuits bunched (B.52.17): 22.3 A, 28.5 A: 6 mm2. Protective conductor as large, to 16 mm2
#   (60364-5-54 Table 54.2).
# Limit: the lower of 46 and 60 degC; target: the higher of 38 and 34 degC.
# Flow window, stage 2: h(46) - h(16) = 192.62 - 67.19 = 125.43; 5.75 / (998.9 x 125.43) = 4.589e-5 m3/s = 2.754 L/min,
#   above the 2.6 L/min at which it turns on. Up: 0.73 gpm, 2.8 L/min.
# Greatest: 0.0225 ohm mm2/m (60364-5-52 Annex G) x 2 x 14 m / 6 mm2 = 0.105 ohm beside 9.2 ohm: 227.40 V, 5621 W.
#   h(38) - h(12) = 159.21 - 50.41 = 108.80; 5.621 / (999.5 x 108.80) = 5.169e-5 m3/s = 3.101 L/min. Down: 0.81 gpm.
# Drop: 230 V x 0.105 / (9.2 + 0.105) = 2.595 V, 1.128 %.
# Outlet at 1.0 gpm, 6.309e-5 m3/s: in winter 50.41 + 5.621 / (999.5 x 6.309e-5) = 139.55: between 30 degC (125.79) and
#   35 degC (146.68): 33.29; in summer 67.19 + 5.750 / (998.9 x 6.309e-5) = 158.43: 37.81.
# Hottest, at 16 degC: just above 2.3 L/min: 5750 W / (998.9 x 3.833e-5) = 150.17; h = 217.36: 51.92 degC. Up: 126 degF.
IEC = {
    "page": (
        "Circuit A25 A, 2-pole; conductor 6 mm² copper PVC, Single-core insulated conductors in conduit on a wall, "
        "terminals 70 °C",
        "Flow window2.8 L/min to 3.1 L/min",
        # 16 °C and 1.05 × 1.10² ÷ 0.9 times the rise of 36 °C is more than the cut-out lets pass
        "Hottest water52 °C, up to 65.6 °C or more ▲ above the limit",
        "Limit at the tap46 °C",
    ),
    "circuit": {"device": "25 A", "poles": "2", "conductor": "6 mm²", "ground": "6 mm²"},
    "window": "2.8 to 3.1 L/min",
    "limit": "46 °C",
    "label": "25 A, 2\u2011pole · Circuit wire 6 mm², ground 6 mm² 230 V single-phase, 1 line and neutral: copper PVC",
    "drop": (2.595, 0.01128),
    "outlets": (1.0 * GPM, 33.29, 37.81),
    "values": (25.0, 2, "6 mm2", "6 mm2", 2.754 * L_MIN, 3.101 * L_MIN, 51.92 + 273.15),
}
BOTH = pytest.mark.parametrize(("site", "hand"), [("three-taps", US), ("metric", IEC)])


@pytest.fixture(scope="module")
def made() -> Joined:
    return joined()


def plain(text: str) -> str:
    return re.sub(r"<[^>]*>", "", text).replace("&nbsp;", " ").replace("\u00a0", " ")


@BOTH
def test_the_results(made: Joined, site: str, hand: dict) -> None:
    (result,) = [one for one in made.results.sites if one.id == site]
    (circuit,), window = result.circuits, result.windows[-1]
    found: tuple[Figure, ...] = (
        circuit.device,
        circuit.poles,
        circuit.conductor,
        circuit.ground,
        window.least,
        window.greatest,
    )
    for figure, value in zip(found, hand["values"][:-1], strict=True):
        assert figure.value == (value if isinstance(value, str) else pytest.approx(value, rel=ALIKE)), figure.id
    assert result.hottest.value == pytest.approx(hand["values"][-1], abs=0.03)


@BOTH
def test_the_drop_and_the_outlets(made: Joined, site: str, hand: dict) -> None:
    (result,) = [one for one in made.results.sites if one.id == site]
    (circuit,) = result.circuits
    shown = {figure.id.rpartition(".")[2]: figure.value for figure in circuit.extra}
    assert (shown["drop"], shown["drop-ratio"]) == pytest.approx(hand["drop"], rel=3e-3)
    flow, *wanted = hand["outlets"]
    for table, outlet_c in zip((result.outlet_winter, result.outlet_summer), wanted, strict=True):
        (cells,) = [cells for head, cells in table.rows if head.value == pytest.approx(flow)]
        assert cells[-1].value == pytest.approx(outlet_c + 273.15, abs=0.05)


@BOTH
def test_the_page(made: Joined, site: str, hand: dict) -> None:
    (page,) = [one.text for one in render_pages(CONTENT, made.book) if one.page.id == f"sites/{site}/details"]
    head = plain(page.partition("</dl>")[0])
    for line in hand["page"]:
        assert line in head


@BOTH
def test_the_card(made: Joined, site: str, hand: dict) -> None:
    texts = card_texts(made.cards[site], made.book.style)
    (row,) = texts["circuits"]
    assert {key: plain(row[key]) for key in hand["circuit"]} == hand["circuit"]
    water = texts["water"]
    assert water and water["window"] and not texts["stops"] and water["above"]
    assert f"{water['window']['text']} {water['window']['unit']}" == hand["window"]
    assert plain(texts["limit"]) == hand["limit"]


@BOTH
def test_the_panel_label(made: Joined, site: str, hand: dict) -> None:
    settings = made.inputs.settings
    setter = Typesetter(CONTENT / "print", TEMPLATE)
    pdf = print_label(
        setter, made.cards[site], printing_of(CONTENT, made.book), kind="panel", size=settings.panel_label
    )
    assert squeezed(hand["label"]) in text_of(pdf)
