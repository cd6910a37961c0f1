"""The words of the findings (content/findings/*.yaml): by rule and case what was found, why it matters, what to do."""

from __future__ import annotations

import re
from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass
from typing import Annotated, Any, TypeVar

from pydantic import BeforeValidator, Field, model_validator

from generator.model.scalars import Identifier, Strict, Text, refuse

_PLACE = re.compile(r"\{([a-z][a-z0-9_]*)\}")
# What stands on the first page of a site: the finding in a line, and why and what to do in short.
BRIEF = ("line", "short")
# What to do about a stop, in a line of a terminal below the `line` that says what is wrong.
ACT = "act"
TEXTS = ("found", "why", "do", *BRIEF, ACT)
# An `act` and the name of its rule have at most so many signs, a value counted as VALUE_SIGNS, a code as its word; in
# another language, of longer words, they may need a second line.
ACT_SIGNS, OTHER_ACT_SIGNS, VALUE_SIGNS = 91, 170, 8


def places(text: str) -> tuple[str, ...]:
    """Return the names of the places for values in a text: `{limit}` is one."""
    return tuple(_PLACE.findall(text))


def _several(value: Any) -> Any:
    return [value] if isinstance(value, str) else value


Conditions = Annotated[tuple[Text, ...], BeforeValidator(_several)]


class SentencePart(Strict):
    """One sentence, or a part of one: its `text`, or with `say` the shared sentence of that name.

    `when` and `unless` name cases, and values and lists that a case may give or not: with `when` the part is said only
    where one of them holds, with `unless` only where none does.
    """

    text: str = ""
    say: Identifier | None = None
    when: Conditions = ()
    unless: Conditions = ()

    @model_validator(mode="after")
    def _has_one(self) -> SentencePart:
        if (self.say is None) == (not self.text):
            raise refuse("a part has either a text or the name of a shared sentence", "write 'text' or 'say'")
        return self

    def applies(self, holding: Collection[str]) -> bool:
        """Return whether the part is said where these cases, values and lists hold."""
        said = not self.when or any(name in holding for name in self.when)
        return said and not any(name in holding for name in self.unless)


def _parts(value: Any) -> Any:
    """Return a text, or a list of texts and parts, as a list of parts."""
    entries = value if isinstance(value, list | tuple) else [value]
    return [{"text": entry} if isinstance(entry, str) else entry for entry in entries]


Parts = Annotated[tuple[SentencePart, ...], BeforeValidator(_parts), Field(min_length=1)]


class Listing(Strict):
    """How a list is written: each row by `text`, with `join` between and `last` before the last.

    `gather`: rows that differ in this value alone are written as one, their values of it one behind another.
    """

    text: Text
    join: Text = ","
    last: Text = "and"
    gather: Text | None = None

    def joined(self, texts: Sequence[str]) -> str:
        """Return the rows' texts as one; a word stands between spaces, a comma or semicolon has one behind it."""
        join, last = (f"{one} " if one[0] in ",;" else f" {one} " for one in (self.join, self.last))
        return last.join([*([join.join(texts[:-1])] if texts[1:] else []), *texts[-1:]])


class Texts(Strict):
    """What was found, why it matters, what to do: the sentences of each.

    `line` and `short` say the same in brief, `act` what to do about a stop, in a line.
    """

    found: Parts | None = None
    why: Parts | None = None
    do: Parts | None = None
    line: Parts | None = None
    short: Parts | None = None
    act: Parts | None = None


class SharedWords(Strict):
    """What several rules say: sentences by name, and words of codes by the name of the choice."""

    sentences: dict[str, Text] = Field(default_factory=dict)
    choices: dict[str, dict[str, Text]] = Field(default_factory=dict)


class FindingWords(Texts):
    """The words of one rule; a case without a text of its own takes the rule's.

    `title` names the rule for readers; `lists` says how its lists are written; `choices` the word of each code, or the
    name of the shared codes and words. `passed` names the cases in which nothing is amiss: they have no brief words.
    """

    rule: Identifier
    title: Text
    lists: dict[str, Listing] = Field(default_factory=dict)
    choices: dict[str, dict[str, Text] | Identifier] = Field(default_factory=dict)
    passed: tuple[Identifier, ...] = ()
    cases: dict[str, Texts] = Field(min_length=1)

    def words(self, choice: str) -> Mapping[str, str]:
        """Return the word of each code of a choice; none of one that is not there."""
        own = self.choices.get(choice, {})
        return {} if isinstance(own, str) else own

    def places(self, text: str) -> tuple[str, ...]:
        """Return the places of a text, and those in the words of the codes that it names."""
        own = places(text)
        words = [word for name in own for word in self.words(name).values()]
        return (*own, *(place for word in words for place in places(word)))

    def parts(self, case: str, key: str) -> tuple[SentencePart, ...]:
        """Return the sentences of a case for one of TEXTS; none where neither case nor rule has any."""
        own: tuple[SentencePart, ...] | None = getattr(self.cases[case], key)
        return own or getattr(self, key) or ()


class OtherWords(Texts):
    """The words of one rule in another language: its entries stand for those of content/findings, one by one."""

    rule: Identifier
    title: Text | None = None
    lists: dict[str, Listing] = Field(default_factory=dict)
    choices: dict[str, dict[str, Text] | Identifier] = Field(default_factory=dict)
    cases: dict[str, Texts] = Field(default_factory=dict)

    def over(self, words: FindingWords) -> FindingWords:
        """Return the words with these entries in the place of theirs."""
        names, none = {**words.cases, **self.cases}, Texts()
        cases = {name: _over(self.cases.get(name, none), words.cases.get(name, none)) for name in names}
        codes = {name: {**words.words(name), **own} for name, own in self.choices.items() if not isinstance(own, str)}
        update = {
            "title": self.title or words.title,
            "lists": {**words.lists, **self.lists},
            "choices": {**words.choices, **self.choices, **codes},
            "cases": cases,
        }
        return _over(self, words).model_copy(update=update)


_Texts = TypeVar("_Texts", bound=Texts)


def _over(upper: Texts, lower: _Texts) -> _Texts:
    return lower.model_copy(update={key: getattr(upper, key) for key in TEXTS if getattr(upper, key)})


@dataclass(frozen=True, slots=True)
class FindingBook:
    """The words of every rule, the shared sentences by name, and why a figure is as it is, by code."""

    rules: Mapping[str, FindingWords]
    sentences: Mapping[str, str]
    reasons: Mapping[str, str]

    @property
    def titles(self) -> Mapping[str, str]:
        """The title of each rule."""
        return {rule: words.title for rule, words in self.rules.items()}
