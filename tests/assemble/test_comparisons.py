"""Fault finding compares with the figures of the site, and with those of the heater as it is built."""

from dataclasses import replace

import pytest

from generator.assemble.comparisons import at_ratings, at_site, of_model, sound_elements
from generator.assemble.documents import SiteView
from generator.model.content.comparison_words import AT_SITE, COMPARISONS, OF_MODEL
from generator.model.content.symptoms import Compared
from generator.model.figures import Sentence, Value
from generator.model.heater import HeaterModel
from generator.model.results import ModelResult
from tests.compute.wet_cases import TOLERANCES
from tests.render.small import basis, circuit, figure, finding, raw, site_view, stage, table
from tests.styles import WORDS

SERVICE, NAMED = basis().header.service_voltage, WORDS.compared


def a_model() -> HeaterModel:
    return HeaterModel.model_validate(raw("models/rill-3.yaml"))


def a_result() -> ModelResult:
    rises = table("model.x.rise", "Rise", "temperature_difference", [10.0, 20.0])
    torque = figure("model.x.torque", "Torque", 2.03, "torque")
    return ModelResult("x", (stage("model.x.stage.1"),), (rises,), (), (circuit("model.x.circuit.a"),), torque)


def stopped_site() -> SiteView:
    """The small site, its selector at the one stage that its results hold."""
    view = site_view()
    return replace(view, spec=view.spec.model_copy(update={"selected_stage": 1}))


def sound_site() -> SiteView:
    view = stopped_site()
    return replace(view, result=replace(view.result, findings=(finding("ok", "supply-voltage"),)))


def with_window(**changes: object) -> SiteView:
    view = sound_site()
    return replace(view, result=replace(view.result, windows=(replace(view.result.windows[0], **changes),)))


def test_every_key_has_figures() -> None:
    found = of_model(a_model(), a_result(), SERVICE, words=NAMED)
    assert set(found) == set(OF_MODEL)
    assert [key for key, values in found.items() if not values] == ["element-insulation"]
    at = at_site(sound_site())
    assert set(at) == set(COMPARISONS) == set(OF_MODEL) | set(AT_SITE)


def test_the_figures_are_those_of_nameplate_and_results() -> None:
    model, result = a_model(), a_result()
    found = of_model(model, result, SERVICE, words=NAMED)
    assert [value.value for value in found["closes-at"]] == [result.stages[0].closes_at.value]
    least, greatest = found["working-pressure"]
    assert (least.value, greatest.value) == (
        model.water.working_pressure.least_pa,
        model.water.working_pressure.greatest_pa,
    )
    assert (least.side, greatest.side) == ("up", "down"), "a range of pressures rounds inward"
    assert (found["torque"][0].value, found["torque"][0].kind) == (model.electrical.terminals.torque_n_m, "torque")


def test_a_site_is_compared_with_its_own_window_limit_inlet_and_supply() -> None:
    view = sound_site()
    at, result = at_site(view), view.result
    ends = [(one.symbol, one.value, one.side) for one in at["flow-window"].values]
    assert ends == [("min", 3e-5, "up"), ("max", 9e-5, "down"), ("stages on", 1.0, "nearest")]
    assert [one.value for one in at["limit"].values] == [result.limit.value]
    assert [one.value for one in at["inlet"].values] == [result.winter_inlet.value, result.summer_inlet.value]
    ends = [one.value for one in result.supply_range]
    assert [one.value for one in at["supply-voltage"].values] == [view.spec.supply.voltage_v, *ends]
    assert [one.value for one in at["stage-current"].values] == [
        row[0].value for row in result.circuits[0].line_currents
    ]
    nominal = float(result.stages[0].element_resistance.value)
    ends = [(one.symbol, one.value, one.side) for one in at["element-resistance"].values]
    assert ends == [
        ("min", pytest.approx(nominal * 0.95 / 1.05), "down"),
        ("max", pytest.approx(nominal / 0.9), "up"),
    ]


def test_a_window_that_no_flow_bounds_says_so() -> None:
    unbound = with_window(greatest=figure("site.shed.most", "Greatest", None, "flow", state="no-bound"))
    assert [one.value for one in at_site(unbound)["flow-window"].values] == [3e-5, "the most it gives", 1.0]


def test_an_empty_window_says_why() -> None:
    why = Sentence("At most {limit} is allowed.", (Value("limit", 2e-5, "flow", "at_most"),))
    none = {end: figure(f"site.shed.{end}", end, None, "flow", state="none") for end in ("least", "greatest")}
    assert at_site(with_window(**none, why_empty=why))["flow-window"] == Compared(
        why=Sentence("none: At most {limit} is allowed.", why.values)
    )


def test_a_stopped_site_has_no_window_and_no_current_but_why() -> None:
    view = stopped_site()
    assert view.stays_off
    for key in ("flow-window", "stage-current"):
        compared = at_site(view)[key]
        assert compared.values == ()
        assert compared.why is not None
        assert [one.value for one in compared.why.values] == ["Hottest water"]


def test_at_a_supply_that_does_not_fit_nothing_computed_there_is_compared_with() -> None:
    view = stopped_site()
    unfit = replace(view, result=replace(view.result, findings=(finding("stop", "supply-voltage"),)))
    assert [at_site(unfit)[key] for key in ("flow-window", "stage-current", "voltage-drop")] == [
        Compared(why=Sentence(NAMED["none-unfit"]))
    ] * 3


def test_the_drop_is_that_of_each_feed_and_none_where_an_older_circuit_hangs() -> None:
    view = sound_site()
    a = replace(view.result.circuits[0], extra=(figure("site.shed.circuit.a.drop", "Voltage drop", 4.0, "voltage"),))
    b = replace(a, name="B", extra=(figure("site.shed.circuit.b.drop", "Voltage drop", 5.0, "voltage"),))
    two = replace(view, result=replace(view.result, circuits=(a, b)))
    found = [(one.symbol, one.value) for one in at_site(two)["voltage-drop"].values]
    assert found == [("feed A", 4.0), ("feed B", 5.0)]
    older = {"device": "30 A", "poles": "1", "conductor": "10 AWG", "ground": "10 AWG"}
    spec = type(view.spec).model_validate(
        raw("sites/potting-shed.yaml") | {"existing_circuit": older, "selected_stage": "1"}
    )
    assert at_site(replace(two, spec=spec))["voltage-drop"] == Compared(why=Sentence(NAMED["none-other-circuit"]))


def test_a_heater_on_two_feeds_is_compared_feed_by_feed_and_line_by_line() -> None:
    """A clamp sees one line of one feed, never the heater's total."""
    view = sound_site()
    a = replace(view.result.circuits[0], line_currents=view.result.circuits[0].line_currents[:1])
    row = tuple(figure(f"x.{line}", line, amps, "current") for line, amps in (("l1", 18.0), ("l2", 10.0), ("l3", 10.5)))
    b = replace(a, name="B", line_currents=(row,))
    found = at_site(replace(view, result=replace(view.result, circuits=(a, b))))["stage-current"].values
    assert [(value.symbol, value.value) for value in found] == [
        ("feed A, stage 1", 38.0),
        ("feed B, stage 1 L1", 18.0),
        ("feed B, stage 1 L2", 10.0),
        ("feed B, stage 1 L3", 10.5),
    ]


def test_a_heater_without_a_marked_device_has_none_to_compare_with() -> None:
    data = a_model().model_dump()
    data["electrical"]["feeds"] = [{"name": "A", "stages": [1, 2]}]
    assert of_model(HeaterModel.model_validate(data), a_result(), SERVICE, words=NAMED)["maximum-device"] == ()


def test_a_heater_without_a_site_is_compared_rating_by_rating() -> None:
    model = HeaterModel.model_validate(raw("models/tarn-18.yaml"))
    circuits = tuple(circuit(f"model.x.circuit.{rating}.{feed}") for rating in range(3) for feed in "ab")
    own = [figure(f"x.{rating}", "Element resistance", 3.0 + rating, "resistance") for rating in range(3)]
    tables = tuple(
        replace(table(f"x.{rating}", "", "current", [1.0, 2.0]), rows=((Value("stage", 1.0, "count"), (one,)),))
        for rating, one in enumerate(own)
    )
    found = at_ratings(model, replace(a_result(), circuits=circuits, element_tables=tables), TOLERANCES, words=NAMED)
    assert [one.rating for one in found] == list(model.ratings)
    assert [one.circuits for one in found] == [circuits[:2], circuits[2:4], circuits[4:]]
    assert [one.resistances[1].value for one in found] == pytest.approx([3.0 / 0.9, 4.0 / 0.9, 5.0 / 0.9])


def test_elements_that_are_unlike_are_compared_one_by_one() -> None:
    unlike = [figure(f"x.{ohm}", "Element resistance", ohm, "resistance") for ohm in (18.0, 9.0)]
    found = sound_elements(unlike, TOLERANCES, NAMED)
    assert [one.value for one in found][1::2] == pytest.approx([20.0, 10.0])
    assert [one.symbol for one in found][::2] == ["stage 1 min", "stage 2 min"]
