"""Whose trade settles what a check finds, from content/trades.yaml."""

from __future__ import annotations

from collections.abc import Collection, Mapping
from pathlib import Path

from pydantic import RootModel

from generator.errors import Fault, InputFaults
from generator.model.scalars import Identifier, Text
from generator.model.settings import ENGLISH
from generator.read.content.language import in_language
from generator.read.yaml.fault_words import unknown
from generator.read.yaml.yaml_file import load_yaml_file

FILE = "trades.yaml"


class Trades(RootModel[dict[Text, tuple[Identifier, ...]]]):
    """The checks of each trade."""


def read_trades(content: Path, rules: Collection[str], language: str = ENGLISH) -> Mapping[str, str]:
    """Return the trade of each rule, in the words of a language where it has such a file.

    InputFaults for a rule that is not there, unknown, or stands twice.
    """
    path = in_language(content, FILE, language)
    file = load_yaml_file(path, Trades, path.relative_to(content.parent).as_posix())
    faults, found = list(file.faults), dict[str, str]()
    for trade, named in file.value.root.items() if file.value else ():
        for place, rule in enumerate(named):
            if rule in found:
                faults.append(
                    file.fault((trade, place), f"{rule} stands under {found[rule]} already", "each check once")
                )
            elif rule not in rules:
                faults.append(file.fault((trade, place), *unknown(rule, "a check", rules)))
            found.setdefault(rule, trade)
    if missing := [rule for rule in sorted(rules) if rule not in found] if file.value else []:
        faults.append(Fault(file.name, 1, 1, missing[0], "no trade settles this check", "name it under one"))
    if faults:
        raise InputFaults(faults)
    return found
