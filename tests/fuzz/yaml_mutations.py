"""What happens to YAML files in the hands of people and programs: one slip at a time, drawn by a seed."""

import random
from collections.abc import Callable

ODD = "\t\u00a0\u200b\u202e\ufeff\x00\x1b\u0301°µ½²‘“é日\U0001f6bf{}[]&*!|>%@`#:,'\"\\$"
TEXTS = (
    *("", "~", "null", "yes", "no", "1e999", "nan", "inf", "-1", "0", "00012", "0x10", "1_000", "12:30", "2026-02-30"),
    *(
        "1,5 kW",
        "1.5kW",
        "9.6 kw",
        "9999999999 kW",
        "-5 gpm",
        "0 gpm",
        "54 °F",
        "54",
        "1e3 psi",
        "8 AWG",
        "#8",
        "7 mm2",
    ),
    *(
        "[1, 2]",
        "{a: 1}",
        "[]",
        "{}",
        "*a",
        "&a b",
        "!!python/object:os.system x",
        "<script>",
        "{{ 7*7 }}",
        "{% raw %}",
    ),
    *("${PATH}", "../../etc/passwd", "a" * 5000, "{line}", "%s", "[/bold]", "| pipe", "- list", "? key", "a: b: c"),
)
Lines = list[str]


def mutated(text: str, chance: random.Random) -> str:
    """Return a text with one slip."""
    lines = text.split("\n")
    at = chance.randrange(len(lines))
    return "\n".join(chance.choice(SLIPS)(lines, at, chance))


def _put(lines: Lines, at: int, line: str) -> Lines:
    return [*lines[:at], line, *lines[at + 1 :]]


def _value(lines: Lines, at: int, chance: random.Random) -> Lines:
    key, colon, _ = lines[at].partition(": ")
    return _put(lines, at, f"{key}: {chance.choice(TEXTS)}") if colon else lines


def _digit(lines: Lines, at: int, chance: random.Random) -> Lines:
    places = [place for place, sign in enumerate(lines[at]) if sign.isdigit()]
    if not places:
        return lines
    place, line = chance.choice(places), lines[at]
    return _put(
        lines, at, line[:place] + chance.choice(("", "0", "9", "00", ".", "-", line[place] * 2)) + line[place + 1 :]
    )


def _sign(lines: Lines, at: int, chance: random.Random) -> Lines:
    place = chance.randrange(len(lines[at]) + 1)
    return _put(lines, at, lines[at][:place] + chance.choice(ODD) + lines[at][place:])


def _drop_sign(lines: Lines, at: int, chance: random.Random) -> Lines:
    place = chance.randrange(len(lines[at]) + 1)
    return _put(lines, at, lines[at][:place] + lines[at][place + 1 :])


def _key(lines: Lines, at: int, chance: random.Random) -> Lines:
    key, colon, rest = lines[at].partition(":")
    return _put(lines, at, f"{key}{chance.choice(('x', ' ', '_', 'S'))}{colon}{rest}") if colon else lines


def _indent(lines: Lines, at: int, chance: random.Random) -> Lines:
    return _put(lines, at, " " * chance.randrange(9) + lines[at].lstrip())


def _swap(lines: Lines, at: int, chance: random.Random) -> Lines:
    other = chance.randrange(len(lines))
    return _put(_put(lines, at, lines[other]), other, lines[at])


def _cut(lines: Lines, at: int, chance: random.Random) -> Lines:
    return lines[: at + 1] if chance.random() < 0.3 else [*lines[:at], *lines[at + 1 :]]


SLIPS: tuple[Callable[[Lines, int, random.Random], Lines], ...] = (
    *(_value, _value, _digit, _digit, _sign, _drop_sign, _key, _indent, _swap, _cut),
    lambda lines, at, _: [*lines[:at], lines[at], *lines[at:]],
    lambda lines, at, _: _put(lines, at, lines[at].replace(": ", ":", 1)),
    lambda lines, at, _: _put(lines, at, lines[at].swapcase()),
    lambda lines, at, _: ["\ufeff", *lines] if at % 2 else [*lines, "---", *lines],
)
