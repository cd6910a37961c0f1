"""Every condition of a safety notice fires on a case and stays silent on its opposite."""

from dataclasses import replace
from typing import Any

import pytest
from pydantic import ValidationError

from generator.compute.active_notices import (
    WHERE,
    model_notices,
    model_values,
    page_notices,
    site_notices,
    site_values,
    symptom_notices,
)
from generator.compute.verdict.notice_facts import MODEL_FACTS, SITE_FACTS, Placed, holds
from generator.model.content.notices import FACTS, MODEL_VALUES, SITE_VALUES, ActiveNotice, Notice
from generator.model.content.symptoms import Symptom
from generator.model.figures import Figure, Finding, Sentence, Severity
from generator.model.heater import HeaterModel
from generator.model.results import FlowWindow, SiteResult
from generator.model.site import Site
from tests.compute.circuit_cases import basis, demo_model, demo_site
from tests.finding_texts import speaker
from tests.render.small import figure, table

RATING_240 = {"voltage_v": 240.0, "phases": 1, "power_w": 9600.0}
RATING_208 = {"voltage_v": 208.0, "phases": 3, "power_w": 9600.0}
LINES = [{"role": "line 1", "colour": "black"}, {"role": "ground", "colour": "green"}]
FEED_A = {"name": "A", "stages": [1, 2], "maximum_device_a": 30.0}
FEEDS_A_B = [{"name": "A", "stages": [1]}, {"name": "B", "stages": [2]}]
SHOWER = {"name": "shower", "kind": "shower", "flow_m3_s": 1e-4, "target_k": 313.0}
PUBLIC = SHOWER | {"kind": "public lavatory"}
BASIN = SHOWER | {"kind": "lavatory"}
CIRCUIT = {"device_a": 30.0, "poles": 1, "conductor": "10 AWG"}

# To which side a value of a sentence about a heater or a site rounds: judged one by one, as sides.yaml is.
SIDES = {
    "cut_out": "up",  # water so hot may come
    "greatest_inlet": "down",
    "greatest_outlet": "up",
    "working_least": "up",
    "working_greatest": "down",
    "hottest": "up",
    "limit": "down",
    "static_pressure": "up",
    "hardness": "up",
    "target": "nearest",
    "winter_inlet": "nearest",
    "summer_inlet": "nearest",
    "voltage": "nearest",
}

# fact -> the part of the input that decides it, a value with which it holds, and one with which it does not
MODEL_CASES: dict[str, tuple[str, Any, Any]] = {
    "several-feeds": ("electrical.feeds", FEEDS_A_B, [FEED_A]),
    "several-ratings": ("ratings", [RATING_240, RATING_208], [RATING_240]),
    "three-phase-model": ("ratings", [RATING_240, RATING_208], [RATING_240]),
    "neutral-lead": ("electrical.leads", [*LINES, {"role": "neutral", "colour": "white"}], LINES),
    "stage-selector": ("stage_selector", True, False),
    "indoor-enclosure": ("enclosure", "indoor", "damp"),
}
SITE_CASES: dict[str, tuple[str, Any, Any]] = {
    "freezing-place": ("place.freezing", True, False),
    "outdoor-place": ("place.kind", "outdoor", "indoor"),
    "wet-place": ("route.wet", True, False),
    "bathing-place": ("fixtures", [SHOWER], [BASIN]),
    "public-fixture": ("fixtures", [PUBLIC], [BASIN]),
    "aluminum-conductor": ("route.conductor", "aluminum", "copper"),
    "three-phase-supply": ("supply.phases", 3, 1),
    "check-valve": ("water.check_valve", True, False),
    "disconnect-out-of-sight": ("place.disconnect", "lockable", "in sight"),
    "no-disconnect": ("place.disconnect", "none", "in sight"),
    "existing-circuit": ("existing_circuit", CIRCUIT, None),
    "hard-water": ("water.hardness_kg_m3", 0.121, 0.120),
}


def edited(data: dict[str, Any], path: str, value: Any) -> dict[str, Any]:
    head, _, rest = path.partition(".")
    return data | {head: edited(data[head], rest, value) if rest else value}


def a_model(path: str = "id", value: Any = "rill-3") -> HeaterModel:
    return HeaterModel.model_validate(edited(demo_model("rill-3").model_dump(), path, value))


def a_site(path: str = "id", value: Any = "potting-shed") -> Site:
    return Site.model_validate(edited(demo_site("potting-shed").model_dump(), path, value))


def a_result(hottest_k: float = 320.0, limit_k: float = 322.0, *findings: Finding) -> SiteResult:
    def outlet(name: str, kelvin: float) -> Figure:
        return figure(f"site.x.{name}", name, kelvin, "temperature")

    outlets = table("site.x.outlet", "Outlet", "temperature", [310.0, 330.0])
    return SiteResult(
        id="x",
        supply_power=figure("site.x.power", "Power", 2880.0, "power"),
        stages=(),
        winter_inlet=outlet("winter", 280.0),
        summer_inlet=outlet("summer", 295.0),
        target=outlet("target", 311.0),
        limit=outlet("limit", limit_k),
        outlet_winter=outlets,
        outlet_summer=outlets,
        windows=(),
        hottest=outlet("hottest", hottest_k),
        circuits=(),
        torque=figure("site.x.torque", "Torque", 2.82, "torque"),
        findings=findings,
    )


def placed(site: Site | None = None, result: SiteResult | None = None, code: str = "us") -> Placed:
    return Placed(site or a_site(), a_model(), result or a_result(), basis(code))


def a_finding(rule: str, severity: Severity) -> Finding:
    return Finding(f"x.{rule}", rule, severity, "x", Sentence("Found."), Sentence("why"), Sentence("do"), "source")


def a_notice(id_: str = "n", **more: Any) -> Notice:
    data: dict[str, Any] = {
        "id": id_,
        "signal": "warning",
        "hazard": "A hazard.",
        "consequence": "It could kill you.",
        "avoidance": ("Stop.",),
        "appears": {"site": "section"},
        "when": "always",
        "source": "a test",
    }
    placed = {"part": "heat"} if {"site", "model"} & set((data | more)["appears"]) else {}
    return Notice.model_validate(data | {"brief": {"line": "Stop.", **placed}} | more)


@pytest.mark.parametrize(
    ("appears", "brief"),
    [({"site": "section"}, {"line": "Stop."}), ({"safety": "grouped"}, {"part": "heat", "line": "Stop."})],
)
def test_a_notice_guards_a_part_exactly_where_a_site_or_heater_shows_it(
    appears: dict[str, str], brief: dict[str, str] | None
) -> None:
    with pytest.raises(ValidationError, match="the notice's part and the pages it appears on do not agree"):
        a_notice(appears=appears, brief=brief)


def shown(notice: Notice, result: SiteResult | None = None, site: Site | None = None) -> tuple[ActiveNotice, ...]:
    return site_notices(site or a_site(), a_model(), result or a_result(), notices=[notice], basis=basis("us"))


def test_every_fact_has_an_answer_and_a_case() -> None:
    assert set(MODEL_FACTS) == {name for name, needs in FACTS.items() if needs == "model"}
    assert set(SITE_FACTS) == {name for name, needs in FACTS.items() if needs == "site"}
    assert set(MODEL_CASES) == set(MODEL_FACTS) - {"always"}
    assert set(WHERE) == set(FACTS) - {"always"}
    assert set(SITE_CASES) == set(SITE_FACTS) - {
        "us-basis",
        "iec-basis",
        "limit-below-hottest",
        "flow-window",
    }  # each has a test below


@pytest.mark.parametrize("fact", MODEL_CASES)
def test_a_fact_of_the_model(fact: str) -> None:
    path, yes, no = MODEL_CASES[fact]
    assert holds(fact, a_model(path, yes), None)
    assert not holds(fact, a_model(path, no), None)


@pytest.mark.parametrize("fact", SITE_CASES)
def test_a_fact_of_the_site(fact: str) -> None:
    path, yes, no = SITE_CASES[fact]
    assert holds(fact, a_model(), placed(a_site(path, yes)))
    assert not holds(fact, a_model(), placed(a_site(path, no)))
    assert not holds(fact, a_model(), None), "a model alone has no site facts"


def test_the_basis_is_a_fact() -> None:
    assert holds("iec-basis", a_model(), placed(code="iec"))
    assert holds("us-basis", a_model(), placed(code="us"))
    assert not holds("us-basis", a_model(), placed(code="iec"))
    assert not holds("iec-basis", a_model(), placed(code="us"))


def test_water_above_the_limit_is_a_fact() -> None:
    assert holds("limit-below-hottest", a_model(), placed(result=a_result(322.1, 322.0)))
    assert not holds("limit-below-hottest", a_model(), placed(result=a_result(322.0, 322.0)))


def with_window(open_: bool) -> SiteResult:
    end = replace(figure("site.x.window.1.least", "Least flow", 1e-5, "flow"), value=1e-5 if open_ else None)
    return replace(a_result(), windows=(FlowWindow(1, end, end),))


def test_a_flow_window_of_a_stage_in_use_is_a_fact() -> None:
    assert holds("flow-window", a_model(), placed(result=with_window(True)))
    assert not holds("flow-window", a_model(), placed(result=with_window(False)))
    assert not holds("flow-window", a_model(), placed(result=a_result()))


def test_a_way_to_avoid_it_that_is_not_open_here_is_not_told() -> None:
    where = [{"fact": "stage-selector", "do": "Select less."}, {"fact": "flow-window", "do": "Keep inside."}]
    notice = a_notice(avoidance_where=where, appears={"site": "section", "model": "section", "safety": "grouped"})
    (closed,) = shown(notice, with_window(False))
    assert not a_model().stage_selector
    assert closed.notice.avoidance == ("Stop.",)
    (window,) = shown(notice, with_window(True))
    assert window.notice.avoidance == ("Stop.", "Keep inside.")
    (alone,) = model_notices(a_model("stage_selector", True), [notice])
    assert alone.notice.avoidance == ("Stop.", "Select less.", "Keep inside."), "a model alone: its sites may have one"
    (general,) = page_notices("safety", [notice])
    assert general.notice.avoidance == ("Stop.", "Select less.", "Keep inside.")


@pytest.mark.parametrize(("severity", "expected"), [("stop", 1), ("attention", 0), ("ok", 0)])
def test_a_finding_fires_at_its_severities_only(severity: Severity, expected: int) -> None:
    notice = a_notice(when=[{"finding": "supply-voltage", "severities": ["stop"], "because": "Bad at {site}."}])
    assert len(shown(notice, a_result(320.0, 322.0, a_finding("supply-voltage", severity)))) == expected
    assert not shown(notice, a_result(320.0, 322.0, a_finding("another-rule", severity)))


def test_the_sentence_gives_the_site_s_own_values() -> None:
    because = "{hottest} is possible at {site}; {model} is rated {ratings}."
    notice = a_notice(when=[{"fact": "limit-below-hottest", "because": because}])
    (active,) = shown(notice, a_result(331.5, 322.0))
    values = {value.symbol: value for value in active.because.values}
    assert (values["hottest"].value, values["hottest"].kind, values["hottest"].side) == (331.5, "temperature", "up")
    assert values["site"].value == a_site().title
    assert values["rating_1"].value == 120.0
    assert active.because.template.endswith("{model} is rated {rating_1} {phases_1}.")


def test_every_place_that_a_sentence_may_hold_has_a_value() -> None:
    at_site = " ".join(f"{{{name}}}" for name in sorted(SITE_VALUES))
    on_model = " ".join(f"{{{name}}}" for name in sorted(MODEL_VALUES))
    site_sentence = shown(
        a_notice(when=[{"fact": "freezing-place", "because": at_site}]), site=a_site("place.freezing", True)
    )
    always = {"when": [{"fact": "always", "because": on_model}], "appears": {"model": "section"}}
    for active in (*site_sentence, *model_notices(a_model(), [a_notice(**always)])):
        places = active.because.template.replace("{", " {").split()
        assert {f"{{{value.symbol}}}" for value in active.because.values} >= {p for p in places if p.startswith("{")}
    assert site_sentence


def test_the_sentences_of_all_met_conditions_are_joined() -> None:
    when = [
        {"fact": "always"},
        {"fact": "stage-selector", "because": "No."},
        {"fact": "neutral-lead", "because": "Yes."},
    ]
    (active,) = shown(a_notice(when=when))
    assert active.because.template == "Yes."


def test_the_most_severe_stand_first() -> None:
    caution = {"signal": "caution", "consequence": "It could cause minor burns."}
    danger = {"signal": "danger", "consequence": "It will kill you."}
    notices = [a_notice("low", **caution), a_notice("mid"), a_notice("high", **danger)]
    found = site_notices(a_site(), a_model(), a_result(), notices=notices, basis=basis("us"))
    assert [active.notice.id for active in found] == ["high", "mid", "low"]


def test_a_notice_appears_only_where_it_says() -> None:
    notice = a_notice(appears={"card": "embedded", "safety": "grouped"})
    assert not shown(notice)
    assert not model_notices(a_model(), [notice])
    (on_card,) = site_notices(a_site(), a_model(), a_result(), notices=[notice], basis=basis("us"), target="card")
    (on_page,) = page_notices("safety", [notice])
    assert (on_card.form, on_page.form) == ("embedded", "grouped")


def test_a_page_for_every_site_says_where_a_notice_applies() -> None:
    conditional = a_notice(
        appears={"safety": "grouped"},
        when=[
            {"fact": "check-valve", "because": "x"},
            {"finding": "inlet-limit", "severities": ["stop"], "because": "x"},
        ],
    )
    (active,) = page_notices("safety", [conditional])
    expected = "Applies where a check valve closes the cold line, or a check of it fails at the site."
    assert speaker().worded(active.because) == Sentence(expected)
    (always,) = page_notices("safety", [a_notice(appears={"safety": "grouped"})])
    assert always.because == Sentence("")


def a_symptom(effort: str) -> Symptom:
    who, state = ("licensed electrician", "locked") if effort == "cover off" else ("anyone", None)
    cause = {
        "id": "c",
        "question": "Is it?",
        "minutes": 3,
        "effort": effort,
        "who": who,
        "safe_state": state,
        "check": ("Look.",),
        "remedy": ("Mend it.",),
    }
    words = {"title": "t", "order": 1, "also": ("a",), "safe_state": "off", "stop": ("Stop.",)}
    return Symptom.model_validate({"id": "s", "notices": ("named",), "causes": (cause,), **words})


def test_a_symptom_shows_what_it_names_and_what_guards_work_behind_the_cover() -> None:
    notices = [a_notice("named"), a_notice("behind", appears={"symptom": "embedded"}), a_notice("other")]
    found = symptom_notices(a_symptom("cover off"), notices)
    assert [(active.notice.id, active.form) for active in found] == [("named", "section"), ("behind", "embedded")]
    assert [active.notice.id for active in symptom_notices(a_symptom("hands"), notices)] == ["named"]


def test_what_follows_from_a_model_alone_needs_no_site() -> None:
    when = [{"fact": "freezing-place", "because": "x"}]
    assert not model_notices(a_model(), [a_notice(when=when, appears={"model": "section"})])


def test_each_value_of_a_sentence_rounds_to_its_safe_side() -> None:
    at = placed()
    given = model_values(at.model) | site_values(at)
    assert {name: value.side for name, value in given.items() if value.kind not in ("text", "count", "choice")} == SIDES


def test_the_temperatures_of_a_sentence_are_those_of_the_site() -> None:
    told = site_values(placed(result=a_result(320.0, 322.0)))
    expected = {"winter_inlet": 280.0, "summer_inlet": 295.0, "target": 311.0, "limit": 322.0, "hottest": 320.0}
    assert {name: told[name].value for name in expected} == expected
    assert site_values(placed(a_site("water.hardness_kg_m3", 0.15)))["hardness"].value == 0.15
