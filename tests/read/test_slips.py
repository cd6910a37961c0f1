"""A slipped digit in the data beside the tables: limits, tolerances, ratings of insulations, headers of the bases.

The cells of the tables are held to their laws in test_table_laws.py; here each other number is held to a range.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
import yaml

from generator.model.tables.basis_header import BasisHeader
from generator.model.tables.codes import Methods
from generator.model.tables.plumbing import PlumbingRules
from generator.model.tables.tolerances import Tolerances
from generator.read.yaml.yaml_file import load_yaml_file

DATA = Path(__file__).parents[2] / "site_data"
FILES: dict[str, Any] = {
    "plumbing/us/rules.yaml": PlumbingRules,
    "tolerances.yaml": Tolerances,
    "codes/us/basis.yaml": BasisHeader,
    "codes/us/wiring_methods.yaml": Methods,
    "codes/iec/basis.yaml": BasisHeader,
    "codes/iec/wiring_methods.yaml": Methods,
}
NUMBER = re.compile(r"(\d+(?:\.\d+)?)( [A-Za-z%].*)?")
# Numbers that stand for no quantity. A slipped size is none of the basis: the whole folder tells.
NAMES = {"edition", "clause", "sizes", "smallest", "largest", "documents", "rules", "of"}


def scalars(node: yaml.Node, path: tuple[str, ...] = ()) -> Iterator[tuple[tuple[str, ...], yaml.ScalarNode]]:
    if isinstance(node, yaml.MappingNode):
        for key, value in node.value:
            yield from scalars(value, (*path, key.value))
    elif isinstance(node, yaml.SequenceNode):
        for value in node.value:
            yield from scalars(value, path)
    elif isinstance(node, yaml.ScalarNode):
        yield path, node


def slips(text: str) -> Iterator[tuple[str, int, str]]:
    """Each number of a file times ten and a tenth: key, line, the file with that slip."""
    lines = text.split("\n")
    for path, node in scalars(yaml.compose(text)):
        match = NUMBER.fullmatch(node.value)
        if not match or NAMES & set(path):
            continue
        number, column = node.start_mark.line, node.start_mark.column
        for times in (10.0, 0.1):
            shown = f"{float(match[1]) * times:.8f}".rstrip("0").rstrip(".")
            slipped = lines[number][:column] + lines[number][column:].replace(match[1], shown, 1)
            yield ".".join(path), number + 1, "\n".join((*lines[:number], slipped, *lines[number + 1 :]))


@pytest.mark.parametrize("name", FILES)
def test_a_slipped_digit_is_refused_at_its_line(name: str, tmp_path: Path) -> None:
    """At least 95 % are to be; what slips into a value that could stand there is named here."""
    text, file, missed, tried = (DATA / name).read_text(), tmp_path / Path(name).name, [], 0
    for key, line, slipped in slips(text):
        file.write_text(slipped)
        tried += 1
        faults = load_yaml_file(file, FILES[name], file.name).faults
        if not any(fault.file == file.name and fault.line == line for fault in faults):
            missed.append(key)
    assert tried > 5
    assert len(missed) <= 0.05 * tried, missed
