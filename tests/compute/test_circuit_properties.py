"""What must hold for every circuit: worse conditions never give a smaller conductor or device."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from typing import Any

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from generator.compute.circuit.circuit_figures import circuit_result
from generator.compute.circuit.circuits import designed, model_circuits, site_circuits
from generator.compute.circuit.iec.conditions import site_conditions
from generator.compute.circuit.sizes import area_mm2, smaller
from generator.errors import CannotCompute
from generator.model.figures import Figure
from generator.model.results import CircuitResult
from generator.model.said import say
from tests.compute.circuit_cases import basis, demo_model, demo_site, heater, metric_heater, metric_site, site

POWER = st.floats(1.5, 11.0)
US_ROUTE = st.fixed_dictionaries(
    {
        "ambient": st.integers(-10, 60).map(lambda c: f"{c} degC"),
        "other_conductors": st.integers(0, 12).map(str),
        "length": st.integers(5, 400).map(lambda feet: f"{feet} ft"),
        "terminations": st.sampled_from(["60 degC", "75 degC"]),
        "conductor": st.sampled_from(["copper", "aluminum"]),
        "insulation": st.sampled_from(["THWN-2", "XHHW-2", "THHN", "TW"]),
    }
)
IEC_ROUTE = st.fixed_dictionaries(
    {
        "ambient": st.integers(-10, 50).map(lambda c: f"{c} degC"),
        "other_circuits": st.integers(0, 5).map(str),
        "length": st.integers(2, 120).map(lambda metres: f"{metres} m"),
        "method": st.sampled_from(["A1", "B1", "B2", "C", "E"]),
        "insulation": st.sampled_from(["PVC", "XLPE"]),
    }
)


# The sizing itself, before a finding such as "above 48 A and not subdivided" takes the sizes back.
def us(power_kw: float, route: dict[str, Any], **model: Any) -> CircuitResult:
    (circuit,) = designed(site(route=route), heater(f"{power_kw:.4f} kW", **model), basis("us"))
    return circuit_result(circuit)


def iec(power_kw: float, route: dict[str, Any]) -> CircuitResult:
    (circuit,) = designed(metric_site(route=route), metric_heater(f"{power_kw:.4f} kW"), basis("iec"))
    return circuit_result(circuit)


JUDGED: Counter[bool] = Counter()  # of the examples, how many no basis refuses


@pytest.fixture(scope="module", autouse=True)
def most_examples_are_judged() -> Iterator[None]:
    yield
    assert JUDGED[True] >= JUDGED[False]


def both(judge: Any, better: tuple[float, Any], worse: tuple[float, Any]) -> tuple[Any, Any] | None:
    """The two circuits; None where the basis refuses one. Where it refuses the better it refuses the worse too."""
    found = [judged(judge, *better), judged(judge, *worse)]
    JUDGED[None not in found] += 1
    assert found[0] is not None or found[1] is None
    return (found[0], found[1]) if None not in found else None


def judged(judge: Any, *given: Any) -> CircuitResult | None:
    try:
        return judge(*given)  # type: ignore[no-any-return]
    except CannotCompute:
        return None


def extra(circuit: CircuitResult, key: str) -> Figure:
    return next(figure for figure in circuit.extra if figure.id.endswith(f".{key}"))


def not_smaller(found: tuple[CircuitResult, CircuitResult] | None) -> None:
    if found is None:
        return
    better, worse = found
    assert not smaller(str(worse.conductor.value), str(better.conductor.value))
    assert worse.device.value >= better.device.value  # type: ignore[operator]


@given(power=POWER, more=st.floats(0.0, 4.0), route=US_ROUTE)
def test_more_load_never_takes_less_us(power: float, more: float, route: dict[str, Any]) -> None:
    not_smaller(both(us, (power, route), (power + more, route)))


@given(power=POWER, more=st.floats(0.0, 4.0), route=IEC_ROUTE)
def test_more_load_never_takes_less_iec(power: float, more: float, route: dict[str, Any]) -> None:
    not_smaller(both(iec, (power, route), (power + more, route)))


@given(power=POWER, route=US_ROUTE, hotter=st.integers(0, 25), company=st.integers(0, 20))
def test_heat_and_company_never_take_less_us(power: float, route: dict[str, Any], hotter: int, company: int) -> None:
    ambient = int(route["ambient"].split()[0]) + hotter
    others = int(route["other_conductors"]) + company
    changed = route | {"ambient": f"{ambient} degC", "other_conductors": str(others)}
    not_smaller(both(us, (power, route), (power, changed)))


@given(power=POWER, route=IEC_ROUTE, hotter=st.integers(0, 25), company=st.integers(0, 10))
def test_heat_and_company_never_take_less_iec(power: float, route: dict[str, Any], hotter: int, company: int) -> None:
    ambient = int(route["ambient"].split()[0]) + hotter
    others = int(route["other_circuits"]) + company
    changed = route | {"ambient": f"{ambient} degC", "other_circuits": str(others)}
    not_smaller(both(iec, (power, route), (power, changed)))


@pytest.mark.parametrize(("judge", "routes", "unit"), [(us, US_ROUTE, "ft"), (iec, IEC_ROUTE, "m")], ids=["us", "iec"])
@given(data=st.data(), power=POWER, longer=st.integers(1, 300))
def test_a_longer_run_never_takes_less(
    judge: Any, routes: Any, unit: str, data: Any, power: float, longer: int
) -> None:
    route = data.draw(routes)
    length = int(route["length"].split()[0]) + longer
    found = both(judge, (power, route), (power, route | {"length": f"{length} {unit}"}))
    if found is None:
        return
    better, worse = found
    assert worse.conductor.value == better.conductor.value
    assert extra(worse, "drop-ratio").value > extra(better, "drop-ratio").value
    assert extra(worse, "rise-lost").value > extra(better, "rise-lost").value
    wanted, before = extra(worse, "conductor-for-drop").value, extra(better, "conductor-for-drop").value
    if wanted is not None and before is not None:
        assert not smaller(wanted, before)
    else:  # once no size is large enough, a longer run finds none either
        assert wanted is None


@given(power=POWER, route=US_ROUTE, marked=st.sampled_from([30, 40, 45, 50, 60, 70]))
def test_the_device_never_exceeds_the_marking_nor_150_percent(power: float, route: dict[str, Any], marked: int) -> None:
    assume(power * 1000 / 240 <= marked)
    with_marking, unmarked = (
        judged(lambda more: us(power, route, **more), more) for more in ({"maximum_device": f"{marked} A"}, {})
    )
    JUDGED[None not in (with_marking, unmarked)] += 1
    if with_marking is None or unmarked is None:
        return
    assert with_marking.device.value <= marked == with_marking.ceiling.value
    assert unmarked.device.value <= unmarked.ceiling.value


@pytest.mark.parametrize(("judge", "routes"), [(us, US_ROUTE), (iec, IEC_ROUTE)], ids=["us", "iec"])
@given(data=st.data(), power=POWER)
def test_longest_runs_rise_with_size_and_meet_their_limit(judge: Any, routes: Any, data: Any, power: float) -> None:
    route = data.draw(routes)
    circuit = judged(judge, power, route)
    JUDGED[circuit is not None] += 1
    if circuit is None:
        return
    table = next(table for table in circuit.tables if table.id.endswith(".longest-run"))
    for column, limit in enumerate(table.columns):
        lengths = [cells[column].value for _, cells in table.rows]
        assert lengths == sorted(lengths)
        size = table.rows[0][0].value
        assert size == circuit.conductor.value
        drop = extra(circuit, "drop-ratio").value
        run_m = float(route["length"].split()[0]) * (0.3048 if judge is us else 1.0)
        assert (drop <= limit.value) == (run_m <= lengths[0])


# Steps of the standard ratings: exactly at, just below and just above. 240 V, so 1 A is 0.24 kW.
@pytest.mark.parametrize(
    ("load_a", "recommended_a", "conductor"),
    [
        (11.999, 15, "14 AWG"),
        (12.0, 15, "14 AWG"),
        (12.001, 20, "12 AWG"),
        (15.999, 20, "12 AWG"),
        (16.0, 20, "12 AWG"),
        (16.001, 25, "10 AWG"),
        (24.0, 30, "10 AWG"),
        (24.001, 35, "8 AWG"),
        (39.999, 50, "8 AWG"),
        (40.0, 50, "8 AWG"),
        (40.001, 60, "6 AWG"),
        (47.999, 60, "6 AWG"),
        (48.0, 60, "6 AWG"),
    ],
)
def test_us_steps(load_a: float, recommended_a: float, conductor: str) -> None:
    """NFPA 70 2023: 125 % of the load to the next rating of 240.6(A); Table 310.16 at 75 degC; 240.4(D)."""
    circuit = us(load_a * 0.24, {})
    assert (circuit.recommended.value, circuit.conductor.value) == (recommended_a, conductor)


@pytest.mark.parametrize(
    ("supply", "load_a"),
    [("228 V", 40.0), ("240 V", 40.0), ("252 V", 40.0), ("252.1 V", 42.0167), ("264 V", 44.0)],
)
def test_the_supply_governs_only_above_its_ordinary_range(supply: str, load_a: float) -> None:
    """Marked rating to 5 % above: NFPA 70 2023, 422.10(A); ANSI C84.1-2020 Range A, from memory."""
    ((circuit,), findings) = site_circuits(site(supply={"voltage": supply}), heater(), basis("us"))
    assert circuit.load_current.value == pytest.approx(load_a, abs=1e-4)
    assert circuit.load_current.steps[-1].result.value == circuit.load_current.value
    severity = next(finding.severity for finding in findings if finding.rule == "supply-voltage")
    assert severity == ("ok" if load_a == 40.0 else "attention")


def test_a_supply_past_ten_per_cent_above_is_refused_and_gives_no_load() -> None:
    ((circuit,), findings) = site_circuits(site(supply={"voltage": "264.1 V"}), heater(), basis("us"))
    assert next(finding.severity for finding in findings if finding.rule == "supply-voltage") == "stop"
    assert circuit.load_current.value is None


@pytest.mark.parametrize(
    ("load_a", "device_a", "conductor"),
    [
        (15.999, 16, "1.5 mm2"),
        (16.0, 16, "1.5 mm2"),
        (16.001, 20, "2.5 mm2"),
        (25.0, 25, "2.5 mm2"),
        (25.001, 32, "4 mm2"),
        (40.0, 40, "6 mm2"),
        (40.001, 50, "10 mm2"),
    ],
)
def test_iec_steps(load_a: float, device_a: float, conductor: str) -> None:
    """IEC 60898-1 ratings; IEC 60364-5-52:2009 table B.52.2, method C: 19.5, 27, 36, 46, 63 A."""
    circuit = iec(load_a * 0.23, {})
    assert (circuit.device.value, circuit.conductor.value) == (device_a, conductor)


@pytest.mark.parametrize(
    ("ambient", "size"),
    [("104 degF", "8 AWG"), ("104.1 degF", "8 AWG"), ("122 degF", "8 AWG"), ("122.1 degF", "6 AWG")],
)
def test_ambient_steps(ambient: str, size: str) -> None:
    """8 AWG, 55 A at 90 degC: x 0.82 = 45.1 A to 122 degF protects to 50 A, x 0.76 = 41.8 A above it does not."""
    assert us(9.6, {"ambient": ambient}).conductor.value == size


@pytest.mark.parametrize(("others", "factor"), [(1, 1.0), (2, 0.8), (4, 0.8), (5, 0.7), (7, 0.7), (8, 0.5)])
def test_company_steps(others: int, factor: float) -> None:
    """NFPA 70 2023, Table 310.15(C)(1): three together count fully, four to six 80 %, seven to nine 70 %, ten 50 %."""
    circuit = us(4.0, {"other_conductors": str(others)})
    table = next(table for table in circuit.tables if table.id.endswith(".candidates"))
    (_, cells) = table.rows[0]
    assert cells[1].value == pytest.approx(cells[0].value * factor)


def test_two_feeds_in_one_raceway_count_four_conductors() -> None:
    """A 75 A heater on two feeds: alone each is three or fewer, together 80 %; three-phase feeds count six."""
    model = heater("18 kW", feeds=2)
    sizes = {}
    for together in ("yes", "no"):
        circuits, _ = site_circuits(site(route={"feeds_share_raceway": together}), model, basis("us"))
        sizes[together] = [circuit.conductor.value for circuit in circuits]
        factors = [step.inputs for step in circuits[0].conductor.steps if step.formula == say("count-factor")]
        assert factors[0][0].value == (4 if together == "yes" else 2)
    assert sizes == {"yes": ["6 AWG", "6 AWG"], "no": ["8 AWG", "8 AWG"]}


def test_two_feeds_laid_together_are_two_circuits_of_their_group() -> None:
    """IEC 60364-5-52, 523.5, from memory: what runs together is counted by circuits; beside another, three and two."""
    model = metric_heater().model_copy(update={"electrical": heater("18 kW", feeds=2).electrical})
    for together, others, circuits in (("yes", 0, 2), ("no", 0, 1), ("yes", 1, 3), ("no", 1, 2)):
        at = metric_site(route={"feeds_share_raceway": together, "other_circuits": str(others)})
        connection = designed(metric_site(), metric_heater(), basis("iec"))[0].load.connection
        assert site_conditions(at, model, connection, basis=basis("iec")).circuits == circuits


@pytest.mark.parametrize(("route_c", "heater_c"), [(90, 70), (70, 90)])
def test_the_terminals_that_stand_least_decide(route_c: int, heater_c: int) -> None:
    """No end of the conductors is warmer than what it ends in stands: common practice, no source."""
    given = metric_heater()
    terminals = given.electrical.terminals.model_copy(update={"temperature_k": heater_c + 273.15})
    model = given.model_copy(update={"electrical": given.electrical.model_copy(update={"terminals": terminals})})
    at = metric_site(route={"terminations": f"{route_c} degC"})
    connection = designed(metric_site(), given, basis("iec"))[0].load.connection
    assert site_conditions(at, model, connection, basis=basis("iec")).terminations_c == pytest.approx(70.0)


def ends_in(figure: Figure) -> bool:
    """Whether the working leads to the figure: its value stands as a result, before the rules put to it."""
    if figure.id.endswith(".verdict"):
        return bool(figure.steps)
    if figure.id.endswith(".conductor") or (".candidates." in figure.id and figure.id.endswith(".greatest-device")):
        return any(value.value == figure.value for step in figure.steps for value in step.inputs)
    return bool(figure.steps) and figure.steps[-1].result.value == figure.value


def require_working(circuits: tuple[CircuitResult, ...]) -> None:
    ids = []
    for circuit in circuits:
        named = (circuit.load_current, circuit.floor, circuit.recommended, circuit.ceiling, circuit.device)
        shown = (*named, circuit.poles, circuit.conductor, circuit.ground, *circuit.extra)
        cells = [cell for table in circuit.tables for _, row in table.rows for cell in row]
        ids += [figure.id for figure in (*shown, *cells)] + [table.id for table in circuit.tables]
        for figure in (*shown, *cells):
            assert all(step.formula and step.source for step in figure.steps)
            if figure.value is None:
                assert figure.reason
            elif not figure.id.endswith(".conductors"):
                assert ends_in(figure), figure.id
        assert circuit.governing
    assert len(ids) == len(set(ids))


SITES = ["bunkhouse", "creamery", "farm-stand", "packing-house", "potting-shed", "seedling-house"]


@pytest.mark.parametrize("name", SITES)
def test_every_figure_of_a_demo_site_has_one_id_and_its_working(name: str) -> None:
    where = demo_site(name)
    circuits, _ = site_circuits(where, demo_model(where.heater), basis(where.code_basis or "us"))
    require_working(circuits)


@pytest.mark.parametrize(("name", "code"), [("rill-3", "us"), ("beck-9", "us"), ("tarn-18", "us"), ("rill-4m", "iec")])
def test_a_model_has_a_circuit_for_each_feed_at_each_rating(name: str, code: str) -> None:
    model = demo_model(name)
    circuits = model_circuits(model, basis(code))
    assert len(circuits) == len(model.ratings) * len(model.electrical.feeds)
    require_working(circuits)


def test_a_heater_subdivided_inside_shows_its_parts() -> None:
    (circuit,) = model_circuits(heater("18 kW", factory_parts=2), basis("us"))
    require_working((circuit,))
    parts = next(table for table in circuit.tables if table.id.endswith(".subdivision"))
    assert [[cell.value for cell in row] for _, row in parts.rows] == [[pytest.approx(37.5), 48.0, 60.0, 60.0]] * 2


def test_gauge_areas() -> None:
    """NFPA 70 2023, chapter 9 table 8, in circular mils: the wire-gauge formula agrees to the table's rounding."""
    table = basis("us").tables["area"]
    for size in table.rows:
        assert area_mm2(size) / 5.067074790974977e-4 == pytest.approx(table.cell(size, "area"), rel=1e-3)
