"""What a person must go and do at each site for what moved, by the rules of content/work.yaml.

Pure: how a number is printed is passed in. What moved is what the change report says, so that a move too small to be
printed sends nobody out.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, replace
from functools import cached_property

from generator.model.content.work_words import Move, SiteMove, WorkRule, WorkRules
from generator.model.documents.change_report import ChangeReport, FigureChange, Work
from generator.model.documents.results_file import StoredFigure, StoredFinding, StoredResults

_WINDOW = re.compile(r"window\.\d+\.(least|greatest)")
_SIZE_KEY = re.compile(r"sizes\[(\d+)\]")


def with_work(report: ChangeReport, old: StoredResults, new: StoredResults, *, rules: WorkRules) -> ChangeReport:
    """Return the report with the field work for what it says, site by site, in the order of the new side."""
    sites = dict.fromkeys((*new.cards, *old.cards))
    work = (item for id_ in sites for item in _SiteWork(id_, report, old, new, rules).items())
    return replace(report, work=tuple(work))


@dataclass(frozen=True)
class _SiteWork:
    """One site on both sides, and what the report says of it."""

    site: str
    report: ChangeReport
    old: StoredResults
    new: StoredResults
    rules: WorkRules

    def items(self) -> Iterator[Work]:
        """Yield the site's work; what matches only where no other rule of its own `unless` does, by that."""
        stood = self._standing
        if stood in ("new", "gone"):
            yield from self._of_site(stood)
            return
        off = any(_stops(found) for found in self._findings(self.new).values())
        rules = [rule for rule in self.rules.rules if not (off and rule.runs)]
        found = {rule.id: list(dict.fromkeys(self._matches(rule))) for rule in rules}
        matched = {id_ for id_, texts in found.items() if texts}
        if (window := self._window_moved) and not off:
            yield from self._of_site(window)
            matched.add(window)
        if stood in ("stays-off", "cleared") and (matched or self._card_moved or stood == "cleared"):
            yield from self._of_site(stood)
        elif not matched and self._card_moved:
            yield from self._of_site("card")
        for rule in rules:
            if not matched.intersection(rule.unless):
                yield from (self._work(rule, text) for text in found[rule.id])

    def _of_site(self, what: SiteMove) -> Iterator[Work]:
        yield from (self._work(rule, rule.text) for rule in self.rules.rules if rule.site == what)

    def _work(self, rule: WorkRule, text: str) -> Work:
        return Work(self.site, rule.id, rule.work, text, rule.why, rule.trade)

    @property
    def _standing(self) -> SiteMove | None:
        """Whether the site is new or gone, or stood and stands still, or was stopped and is not."""
        if self.site not in self.old.cards:
            return "new"
        if self.site not in self.new.cards:
            return "gone"
        before, after = (any(_stops(found) for found in self._findings(side).values()) for side in (self.old, self.new))
        return None if not before else "stays-off" if after else "cleared"

    @property
    def _card_moved(self) -> bool:
        return any(card.id == self.site for card in self.report.cards)

    def _matches(self, rule: WorkRule) -> Iterator[str]:
        """Yield the text of a rule for each thing at the site that it matches, circuits that are alike in one."""
        if rule.finding and "stop" in rule.when:
            yield from self._new_stops(rule)
        yield from self._inputs(rule)
        alike: dict[tuple[str | None, str | None], list[str]] = {}
        for change in self._figures(rule):
            alike.setdefault((change.old, change.new), []).append(change.id)
        for (was, now), ids in alike.items():
            yield rule.text.format(old=was, new=now, circuits=self._circuits(ids))

    def _new_stops(self, rule: WorkRule) -> Iterator[str]:
        before = self._findings(self.old)
        lines = {change.id: change.line for change in self.report.findings}
        for id_, found in self._findings(self.new).items():
            if _matches(found.rule, rule.finding) and _stops(found) and not _stops(before.get(id_)):
                yield rule.text.format(line=lines.get(id_, ""))

    def _findings(self, side: StoredResults) -> Mapping[str, StoredFinding]:
        """Return the findings of the site and of its heater on one side."""
        subjects = {self.site, f"model.{self._heaters.get(side is self.new, '')}"}
        return {id_: found for id_, found in side.findings.items() if found.subject in subjects}

    @cached_property
    def _heaters(self) -> Mapping[bool, str]:
        """The site's heater on the old side (False) and on the new one (True)."""
        return {
            side is self.new: values["heater"]
            for side in (self.old, self.new)
            for file, values in side.inputs.items()
            if "/sites/" in file and values.get("id") == self.site and "heater" in values
        }

    def _inputs(self, rule: WorkRule) -> Iterator[str]:
        subjects = {f"site.{self.site}"}
        if self._heaters.get(False) == self._heaters.get(True):
            subjects.add(f"model.{self._heaters.get(True)}")
        none = self.rules.words.none
        for change in self.report.inputs:
            if change.subject in subjects and _matches(change.key, rule.input):
                key = change.key.rpartition(".")[2]
                yield rule.text.format(old=change.old or none, new=change.new or none, key=key)

    def _figures(self, rule: WorkRule) -> Iterator[FigureChange]:
        start = f"site.{self.site}."
        shown = self._on_card(self.old) & self._on_card(self.new) if rule.on_card else None
        for change in self.report.figures:
            own = change.id.startswith(start) and _matches(change.id.removeprefix(start), rule.figure)
            if own and (shown is None or change.id in shown) and self._move(change.id) & set(rule.when):
                yield change

    def _on_card(self, side: StoredResults) -> set[str]:
        return set(side.cards[self.site].figures)

    @property
    def _window_moved(self) -> SiteMove | None:
        """Whether the card leads with the flow window of another stage than before, or has none any more."""
        before, after = (
            {id_ for id_ in self._on_card(side) if _WINDOW.fullmatch(id_.removeprefix(f"site.{self.site}."))}
            for side in (self.old, self.new)
        )
        return None if before == after else "other-window" if after else "no-window"

    def _move(self, id_: str) -> set[Move]:
        before, after = (_value(side.figures.get(id_)) for side in (self.old, self.new))
        if before == after:
            return set()
        if before is None or after is None:
            return {"moved", "lost" if after is None else "found"}
        was, now = (self._rank(one) for one in (before, after))
        return {"moved", "down" if was is not None and now is not None and now < was else "up"}

    def _rank(self, value: float | str) -> float | None:
        """Return how large a value is; of a size its place in the tables of its code, None of one that none names:
        what cannot be compared passes for larger, which sends someone to look."""
        return value if isinstance(value, float) else self._sizes.get(value)

    @cached_property
    def _sizes(self) -> Mapping[str, float]:
        return {
            text: float(place[1])
            for side in (self.old, self.new)
            for file, values in side.inputs.items()
            if "/codes/" in file
            for key, text in values.items()
            if (place := _SIZE_KEY.fullmatch(key))
        }

    def _circuits(self, ids: Iterable[str]) -> str:
        """Return the circuits of figures in words; of figures of no circuit, all the circuits of the site."""
        start, words = f"site.{self.site}.circuit.", self.rules.words
        own = [id_ for id_ in ids if id_.startswith(start)]
        every = own or [id_ for id_ in self.new.figures if id_.startswith(start)]
        names = list(dict.fromkeys(id_.removeprefix(start).partition(".")[0] for id_ in every))
        named = [name.upper() if len(name) == 1 else name for name in names]
        if len(named) < 2:
            return words.circuit.format(names="".join(named))
        return words.circuits.format(names=f"{', '.join(named[:-1])} {words.and_} {named[-1]}")


def _stops(found: StoredFinding | None) -> bool:
    """Whether a finding is a stop that no decision lifts."""
    return found is not None and found.severity == "stop" and not (found.decision and found.decision.holds)


def _value(figure: StoredFigure | None) -> float | str | None:
    return figure.value if figure else None


def _matches(text: str, patterns: Iterable[str]) -> bool:
    """Whether a dotted text fits one of the patterns, `*` standing for any signs but a dot, and alone for all."""
    fitting = (re.escape(pattern).replace(r"\*", ".*" if pattern == "*" else "[^.]*") for pattern in patterns)
    return any(re.fullmatch(pattern, text) for pattern in fitting)
