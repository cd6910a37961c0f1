"""What people may decide about a check that found something, and whether a decision still holds.

An owner accepts a stop of ACCEPTABLE: water guarded by other means, or a heater that does less than it was chosen for.
An owner settles an attention. A stop of WAIVABLE, a rule of the electrical code, is waived by the authority having
jurisdiction alone (NFPA 70 (2023) 90.4, from memory). Any other stop is mended: a limit of the heater's maker, what can
burst, a supply or circuit on which no size can be stated. A decision holds what was found when it was made, and lapses
when that grows worse.
"""

from __future__ import annotations

import datetime
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace
from typing import Literal

from generator.errors import CannotCompute
from generator.model.decision import Decision
from generator.model.figures import Decided, DecisionKind, Finding, Lapse, Severity, Value
from generator.model.finding_rules import OWN_FOUND
from generator.model.results import Results

ACCEPTABLE = ("hottest-water", "target-reached", "working-flow", "working-pressure")
WAIVABLE = (
    "agricultural-wiring",
    "disconnect",
    "enclosure",
    "existing-circuits",
    "existing-conductor",
    "existing-device",
    "existing-ground",
    "existing-poles",
    "panel-demand",
    "panel-spaces",
    "residual-current-protection",
    "terminal-material",
    "terminal-size",
)
DECIDES: Mapping[DecisionKind, Severity] = {"accepted": "stop", "settled": "attention", "waived": "stop"}
Worse = Literal["above", "below", "other"]
# Only the band in which a sound heater works breaks the limit: data clear it, never a person.
BAND_CASES = ("band", "band-any-supply")
# Rule -> the values of its finding that a decision holds, and where worse lies: "other" is any other figure.
HELD: Mapping[str, Mapping[str, Worse]] = {
    "altitude": {"altitude": "above"},
    "delivery": {"run": "above", "wait": "above", "wasted": "above"},
    "existing-conductor": {"allowed": "below", "needed": "above"},
    "existing-device": {"device": "other", "needed": "above", "load": "above", "ceiling": "below", "marked": "below"},
    "existing-circuits": {"feeds": "above", "described": "below"},
    "existing-ground": {"ground": "other", "device": "above"},
    "existing-poles": {"poles": "other", "lines": "above"},
    "filter-screen": {"open": "below", "lost": "above"},
    "fixture-demand": {"needed": "above", "power": "below"},
    "fixture-flow-limit": {"flow": "above", "limit": "below"},
    "fixture-limit": {"stated": "above", "limit": "below"},
    "fixture-pressure": {"left": "below", "needed": "above"},
    "greatest-outlet": {"hottest": "above", "top": "above", "top_held": "above", "greatest": "below"},
    "hardness": {"hardness": "above"},
    "hottest-water": {
        "hottest": "above",
        "top": "above",
        "top_held": "above",
        "supply": "above",
        "inlet": "above",
        "limit": "below",
    },
    "panel-demand": {"total": "above", "cautious": "above", "rating": "below"},
    "panel-spaces": {"needed": "above", "free": "below"},
    "pipe-velocity": {"velocity": "above", "limit": "below"},
    "pressure-sag": {"drop": "above", "spare": "below"},
    "residual-current-protection": {"device": "other", "limit": "other"},
    "shared-source": {"total": "above", "greatest": "below"},
    "simultaneous-use": {"needed": "above", "power": "below"},
    "static-pressure": {"static": "above", "rest": "above", "code": "below"},
    "supply-voltage": {"supply": "other", "rated": "other"},
    "tankless-limit": {"hottest": "above", "top": "above", "supply": "above", "limit": "below"},
    "target-reached": {"target": "above", "inlet": "below", "power": "below"},
    "terminal-size": {"size": "other", "smallest": "other", "largest": "other"},
    "thermal-expansion": {"hottest": "above", "swells": "above"},
    "voltage-drop": {"ratio": "above"},
    "working-flow": {"wanted": "below"},
    "working-pressure": {"pressure": "below"},
}
# How far a figure copied as it was printed may lie from the one found, in SI by kind.
ROUNDING = {
    "concentration": 1.8e-3,  # 0.1 gpg
    "count": 0.0,
    "current": 0.1,
    "flow": 6.4e-6,  # 0.1 gpm
    "length": 0.31,  # 1 ft
    "power": 10.0,
    "pressure": 6894.8,  # 1 psi
    "ratio": 1e-3,
    "temperature": 1.0,
    "text": 0.0,
    "time": 6.0,  # 0.1 min
    "velocity": 0.031,  # 0.1 ft/s
    "voltage": 1.0,
    "volume": 3.8e-5,  # 0.01 gal
}
SAME = 1e-9


def with_decisions(findings: tuple[Finding, ...], decisions: Sequence[Decision]) -> tuple[Finding, ...]:
    """Return the findings, each with the decision about it, which says whether it has lapsed.

    CannotCompute, with the key of the entry, for a decision about no finding, of a kind that is not for it, or at
    figures that were not found.
    """
    marked = {found.id: found for found in findings}
    for place, entry in enumerate(decisions):
        found = marked.get(entry.finding)
        if found is None:
            raise _no_finding(place, entry, findings)
        made = _made(entry)
        _refuse_units(place, made, found)
        lapsed: Lapse | None = "worse" if entry.kind == "settled" and found.severity == "stop" else None
        if lapsed is None:
            _refuse_kind(place, entry, found)
            lapsed = lapse(made, found)
        if lapsed is None:
            _refuse_figures(place, made, found)
        marked[found.id] = replace(found, decision=replace(made, lapsed=lapsed))
    return tuple(marked.values())


def lapse(made: Decided, found: Finding, day: datetime.date | None = None) -> Lapse | None:
    """Return why a decision holds no longer, None where it does: what is found is worse or another, or it is late.

    No `day`, no lateness: what is printed does not change with the day on which it is printed.
    """
    now = dict(_held(found))
    held = _worse(found)
    if (made.case and made.case != found.case) or any(one.symbol in held and one.symbol not in now for one in made.at):
        return "another"
    if any(_beyond(one, now[one.symbol], held[one.symbol]) > 0.0 for one in made.at if one.symbol in now):
        return "worse"
    return "late" if day is not None and day > datetime.date.fromisoformat(made.until) else None


def judged_on(results: Results, day: datetime.date | None) -> Results:
    """Return the results as the decisions stand on a day: those past their last day have lapsed."""
    sites = (replace(site, findings=tuple(on_day(found, day) for found in site.findings)) for site in results.sites)
    return replace(results, sites=tuple(sites))


def on_day(found: Finding, day: datetime.date | None) -> Finding:
    """Return a finding as its decision stands on a day; without one, none is late."""
    if found.decision is None or found.decision.lapsed:
        return found
    return replace(found, decision=replace(found.decision, lapsed=lapse(found.decision, found, day)))


def _made(entry: Decision) -> Decided:
    at = tuple(replace(figure, symbol=name) for name, figure in entry.at.items())
    name, document = (entry.authority.name, entry.authority.document) if entry.authority else ("", "")
    dates = entry.date.isoformat(), entry.until.isoformat()
    return Decided(entry.kind, entry.by, entry.why, *dates, entry.case or "", at, name, document)


def _worse(found: Finding) -> Mapping[str, Worse]:
    """Return the values that a decision about a finding holds, and where worse lies.

    Of a rule of the handbook's own it holds all that was found, and any other figure is worse.
    """
    if found.case == OWN_FOUND:
        return {value.symbol: "other" for value in found.values}
    return HELD.get(found.rule, {})


def _held(found: Finding) -> Iterator[tuple[str, Value]]:
    """Yield by name the values that a decision about a finding holds; of those in a list the worst."""
    values = [*found.values, *(value for rows in found.lists.values() for row in rows for value in row.values())]
    for name, worse in _worse(found).items():
        of_name = [value for value in values if value.symbol == name]
        if of_name and of_name[0].kind == "text":
            yield name, of_name[0]
        elif of_name:
            yield name, (min if worse == "below" else max)(of_name, key=lambda value: float(value.value))


def _beyond(at: Value, now: Value, worse: Worse) -> float:
    """Return by how much what is found is worse than what was decided [SI]; below 0 where it is better.

    A value that is printed to the nearest may be half a step off. A name, such as a size, is worse where it is another.
    """
    if now.kind == "text" or at.kind == "text":
        return float(" ".join(str(at.value).split()) != " ".join(str(now.value).split()))
    beyond = float(at.value) - float(now.value) if worse == "below" else float(now.value) - float(at.value)
    beyond = abs(beyond) if worse == "other" else beyond
    slack = ROUNDING.get(now.kind, 0.0) / 2.0 if now.bound == "neither" else 0.0
    return 0.0 if 0.0 < beyond <= slack + SAME * abs(float(now.value)) else beyond


def _refuse_kind(place: int, entry: Decision, found: Finding) -> None:
    if found.severity != DECIDES[entry.kind]:
        wrong = f"'{entry.finding}' is {found.severity} here, and what is {entry.kind} is {DECIDES[entry.kind]}"
        expected = {"ok": "leave the entry out", "attention": "kind: settled", "stop": "mend it"}[found.severity]
        raise _refusal(place, "kind", wrong, expected=expected)
    if found.case in BAND_CASES and entry.case in (None, found.case):
        wrong = f"no person can settle '{entry.finding}': only the band in which a sound heater works breaks the limit"
        raise _refusal(place, "finding", wrong, expected="do what the finding says, such as supply: voltage_range")
    if entry.kind == "accepted" and found.rule not in ACCEPTABLE:
        wrong = f"no owner can accept '{found.rule}'"
        raise _refusal(
            place, "finding", wrong, expected="mend it; only the authority having jurisdiction can waive a rule"
        )
    if entry.kind == "waived" and found.rule not in WAIVABLE:
        wrong = f"'{found.rule}' cannot be waived"
        raise _refusal(
            place, "finding", wrong, expected=f"mend it; what an authority can waive is {', '.join(WAIVABLE)}"
        )


def _refuse_units(place: int, made: Decided, found: Finding) -> None:
    now = dict(_held(found))
    for one in made.at:
        if one.symbol in now and one.kind != now[one.symbol].kind:
            wrong = f"the figure found, {one.symbol}, is a {now[one.symbol].kind}"
            raise _refusal(place, "at", wrong, expected="copy the figure that the finding shows")


def _refuse_figures(place: int, made: Decided, found: Finding) -> None:
    """CannotCompute where a decision does not hold what was found, or holds more than that."""
    now, at = dict(_held(found)), {one.symbol: one for one in made.at}
    for name in at.keys() - now.keys():
        expected = f"the names {', '.join(now)}" if now else "leave it out, and name the case"
        raise _refusal(place, "at", f"'{found.rule}' shows no figure '{name}' to hold", expected=expected)
    if missing := now.keys() - at.keys():
        wrong = f"the figures found are not all held: {', '.join(sorted(missing))}"
        raise _refusal(place, "at", wrong, expected="copy them from the finding")
    if not made.case and (made.kind == "settled" or not now):
        raise _refusal(place, "case", "the case that was found is not held", expected=f"case: {found.case}")
    for name, figure in at.items():
        if _beyond(figure, now[name], _worse(found)[name]) < -ROUNDING.get(figure.kind, 0.0):
            wrong = f"more is {made.kind} than what is found"
            raise _refusal(place, "at", wrong, expected=f"copy {name} from the finding")


def _no_finding(place: int, entry: Decision, findings: Sequence[Finding]) -> CannotCompute:
    graver = [found.id for found in findings if found.severity != "ok"]
    expected = f"write one of {', '.join(graver)}" if graver else "leave the entry out: nothing is found here"
    return _refusal(place, "finding", f"'{entry.finding}' is no finding of this site", expected=expected)


def _refusal(place: int, key: str, wrong: str, *, expected: str) -> CannotCompute:
    return CannotCompute(("decisions", place, key), wrong, expected)
