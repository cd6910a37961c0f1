"""Rules, and what compute says by one of them without a word: case, severity and values.

The words stand in content/findings/<rule>.yaml, by case; assemble/worded_findings.py puts the two together.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable, Mapping
from dataclasses import dataclass, field

from generator.model.figures import Finding, Row, Sentence, Severity, Value

# A finding that is not judged takes its words from the rule of this name, in one of its cases; their value is the rule
# of the stop to settle first.
NOT_JUDGED, STOP_NOT_JUDGED = "not-judged", "not-judged-stop"
# A rule of the handbook's own takes its words from its own file where its condition holds, else from the rule of this
# name.
OWN_RULE, OWN_FOUND = "own-rule", "found"
NO_WORDS = Sentence("")
# The shared choices whose codes are reasons of figures too.
REASONS = ("off", "falls", "bound")
# The sentences that compute says of what is no finding, by name, each with its values: why a window holds no flow.
SAID: Mapping[str, tuple[str, ...]] = {
    "window-unfit-supply": ("cause",),
    "window-warm-inlet": ("summer_inlet", "hottest_allowed"),
    "window-no-flow": ("for_least",),
    "window-crossed": ("least", "for_least", "greatest", "for_greatest"),
    "window-narrow": ("about", "settable"),
}
Names = Mapping[str, tuple[str, ...]]


@dataclass(frozen=True, slots=True)
class Judgement:
    """What one rule says, before it is tied to a subject: its fields are those of `Finding`, but for the words."""

    rule: str
    severity: Severity
    case: str = ""
    values: tuple[Value, ...] = ()
    lists: Mapping[str, tuple[Row, ...]] = field(default_factory=dict)
    source: str = ""

    def at(self, subject: str) -> Finding:
        """Return the finding of a subject; its id is `<subject>.<rule>`."""
        return Finding(
            f"{subject}.{self.rule}",
            self.rule,
            self.severity,
            subject,
            NO_WORDS,
            NO_WORDS,
            NO_WORDS,
            self.source,
            case=self.case,
            values=self.values,
            lists=self.lists,
        )


@dataclass(frozen=True, slots=True)
class Rule:
    """A rule and what its words may use.

    `cases`: by case the names of the values it may give; `lists`: by list the names of the values in each of its rows;
    `choices`: the values that are one of a few codes, each with a word of its own; `stops`: the cases that can be a
    `stop`, whose words say in a line what to do.
    """

    name: str
    cases: Names
    lists: Names = field(default_factory=dict)
    choices: Names = field(default_factory=dict)
    stops: tuple[str, ...] = ()

    def judge(
        self,
        case: str,
        severity: Severity,
        values: tuple[Value, ...] = (),
        *,
        source: str,
        lists: Mapping[str, tuple[Row, ...]] | None = None,
    ) -> Judgement:
        """Return what this rule says. KeyError for a case, value, list, code or stop that the rule does not declare."""
        rows, given = lists or {}, self.cases[case]
        if severity == "stop":
            self._refuse([case], self.stops)
        self._refuse([value.symbol for value in values], given)
        for name, entries in rows.items():
            declared = self.lists[name]
            for row in entries:
                self._refuse(row, declared)
        if self.choices:
            for value in [*values, *(value for entries in rows.values() for row in entries for value in row.values())]:
                if value.symbol in self.choices:
                    self._refuse([str(value.value)], self.choices[value.symbol])
        return Judgement(self.name, severity, case, values, rows, source)

    def _refuse(self, given: Iterable[str], declared: Collection[str]) -> None:
        undeclared = [one for one in given if one not in declared]
        if undeclared:
            raise KeyError(f"{self.name} declares no {', '.join(sorted(undeclared))}")
