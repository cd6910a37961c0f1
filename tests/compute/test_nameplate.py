"""A model without evidence for its nameplate is one finding, of the model and not of each of its sites."""

from __future__ import annotations

from generator.build import Loaded
from generator.compute.nameplate import nameplate_finding
from generator.model.heater import Nameplate
from generator.render.check.programs import findings_annotations, say
from tests.compute.circuit_cases import heater

SEEN = {"seen_by": "the foreman", "checked_by": "an electrician", "date": "2026-10-05", "document": "photograph 3"}


def test_the_finding_names_who_saw_and_who_checked() -> None:
    bare = nameplate_finding(heater())
    assert (bare.id, bare.subject, bare.severity, bare.case) == (
        "model.some-heater.nameplate",
        "model.some-heater",
        "attention",
        "not-stated",
    )
    seen = nameplate_finding(heater().model_copy(update={"nameplate": Nameplate.model_validate(SEEN)}))
    assert seen.severity == "ok"
    assert {value.symbol: value.value for value in seen.values} == SEEN


def test_it_is_told_once_and_on_no_card(loaded: Loaded) -> None:
    without = [model.id for model in loaded.inputs.models if model.nameplate is None]
    assert without
    assert [one.id for one in loaded.results.findings if one.rule == "nameplate" and one.severity != "ok"] == [
        f"model.{id_}.nameplate" for id_ in without
    ]
    for card in loaded.cards.values():
        assert all(one.rule != "nameplate" for one in (*card.measured, *card.stops, *card.decided))
    annotations = findings_annotations(loaded.inputs, loaded.results, loaded.book.style).splitlines()
    for id_ in without:
        (line,) = [one for one in annotations if f"title=model.{id_}.nameplate" in one]
        assert line.startswith(f"::warning file=site_data/models/{id_}.yaml,line=")


def test_it_is_in_words(loaded: Loaded) -> None:
    told = {
        one.severity: say(one.found, loaded.book.style) for one in loaded.results.findings if one.rule == "nameplate"
    }
    assert told["attention"].startswith("Nobody has stated who saw the nameplate")
    assert "was seen by" in told["ok"] and "2026-10-05" in told["ok"]
