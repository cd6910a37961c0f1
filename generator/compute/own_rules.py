"""What the rules of the handbook's own find at a site: its figures against what the rules state.

A figure that a site has not is no case of the rule; one that has no value there leaves it not known, and what is not
known is not passed. Of several figures of one end any may hold. A figure with a band in which a sound heater works is
taken at the end of it that is worse: the upper for `above`, the lower for `below`.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import replace
from difflib import get_close_matches

from generator.compute.severity import ATTENTION, OK
from generator.errors import CannotCompute
from generator.model.content.own_rule import Condition, OwnRule, Path, names_of
from generator.model.documents.walk import walk
from generator.model.figures import Figure, Finding, Value
from generator.model.finding_rules import OWN_FOUND, OWN_RULE, Judgement, Rule
from generator.model.results import SiteResult
from generator.model.said import say

PASSED, NOT_KNOWN = "passed", "not-known"
RULE = Rule(OWN_RULE, {PASSED: (), NOT_KNOWN: ("figure",)})
Figures = Mapping[str, Figure]


def own_findings(result: SiteResult, rules: Iterable[OwnRule]) -> tuple[Finding, ...]:
    """Return what each rule finds at a site, one finding a rule; its source is the rule's own."""
    figures = _figures(result) if rules else {}
    return tuple(_finding(rule, figures).at(result.id) for rule in rules)


def refuse_unknown(rule: OwnRule, results: Sequence[SiteResult]) -> None:
    """CannotCompute, with its key path, for a figure that no site has, or that is not of the kind compared with it."""
    figures = {f"{place}.{id_}": one for place, site in enumerate(results) for id_, one in _figures(site).items()}
    for path, test in rule.when.tests() if results else ():
        found = [one for _, one in _ending(test, figures)]
        if not found:
            ids = {id_ for site in results for id_ in _figures(site)}
            near = ", ".join(get_close_matches(test.figure or "", sorted(ids), 3, 0.4))
            expected = f"the id of a figure, or its end{f', such as {near}' if near else ''}"
            raise CannotCompute(("when", *path, "figure"), f"no site has a figure '{test.figure}'", expected)
        _refuse_kind(path, test, {one.kind for one in found if one.value is not None})


def _refuse_kind(path: Path, test: Condition, kinds: set[str]) -> None:
    key = next(key for key in ("above", "below", "between", "missing") if getattr(test, key) is not None)
    for value in test.stated:
        if other := sorted(kinds - {value.kind, "number" if value.kind == "count" else value.kind}):
            wrong = f"'{test.figure}' is a {other[0].replace('_', ' ')}, and this is a {value.kind.replace('_', ' ')}"
            expected = "missing: yes, for a name is not compared" if "text" in other else "a value with its unit"
            raise CannotCompute(("when", *path, key), wrong, expected)


def _figures(result: SiteResult) -> Figures:
    return {one.id.removeprefix(f"site.{result.id}."): one for one in walk(result, Figure)}


def _ending(test: Condition, figures: Figures) -> Iterator[tuple[str, Figure]]:
    """Yield the figures whose id is the one named, or ends with it from a point on; `*` stands for any one part."""
    named = (test.figure or "").split(".")
    for id_, one in figures.items():
        parts = id_.split(".")[-len(named) :]
        if len(parts) == len(named) and all(name in ("*", part) for name, part in zip(named, parts, strict=True)):
            yield id_, one


def _finding(rule: OwnRule, figures: Figures) -> Judgement:
    holds = _holds(rule.when, figures)
    if holds is None:
        unknown = (test.figure or "" for _, test in rule.when.tests() if _tested(test, figures) is None)
        cause = Value("figure", ", ".join(dict.fromkeys(unknown)), "text")
        return replace(RULE.judge(NOT_KNOWN, ATTENTION, (cause,), source=rule.source), rule=rule.id)
    if not holds:
        return replace(RULE.judge(PASSED, OK, source=rule.source), rule=rule.id)
    values = tuple(value for _, test in rule.when.tests() for value in _values(test, figures))
    return Judgement(rule.id, rule.severity, OWN_FOUND, values, source=rule.source)


def _holds(condition: Condition, figures: Figures) -> bool | None:
    """Return whether a condition holds; None where that is not known."""
    if condition.figure is not None:
        return _tested(condition, figures)
    parts = [_holds(part, figures) for part in condition.all or condition.any or ()]
    decides = condition.all is None  # one that holds decides an `any`, one that does not an `all`
    if decides in parts:
        return decides
    return None if None in parts else not decides


def _tested(test: Condition, figures: Figures) -> bool | None:
    found = [one for _, one in _ending(test, figures)]
    known = [one for one in found if _usable(one)]
    if test.missing:
        return not known
    if any(_fulfils(test, one) for one in known):
        return True
    return None if len(known) < len(found) else False


def _usable(figure: Figure) -> bool:
    return figure.value is not None and figure.state == "ok"


def _fulfils(test: Condition, figure: Figure) -> bool:
    if isinstance(figure.value, str):  # refused below its rule, once every site is known
        return False
    at = _at(test, figure)
    if test.above is not None:
        return at > float(test.above.value)
    if test.below is not None:
        return at < float(test.below.value)
    least, greatest = (float(one.value) for one in test.stated)
    return least <= at <= greatest


def _at(test: Condition, figure: Figure) -> float:
    """Return what is compared of a figure: its value, or the worse end of its band; 0 for a name."""
    value = 0.0 if isinstance(figure.value, str) else figure.value or 0.0
    if figure.band is None or test.between is not None:
        return value
    return max(value, *figure.band) if test.above is not None else min(value, *figure.band)


def _values(test: Condition, figures: Figures) -> Iterator[Value]:
    """Yield the values that a comparison gives the texts: of several figures that hold the worst."""
    names = names_of(test)
    known = [one for _, one in _ending(test, figures) if _usable(one)]
    if not names:
        return
    yield from (replace(value, symbol=name) for name, value in zip(names[1:], test.stated, strict=True))
    if not known:
        yield Value(names[0], say("no-value-here"), "text")
        return
    worst = (min if test.below is not None else max)(
        known, key=lambda one: (_fulfils(test, one) != (test.below is not None), _at(test, one))
    )
    yield Value(names[0], _at(test, worst), worst.kind, worst.bound)
