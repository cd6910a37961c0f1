"""The rules of field work, from content/work.yaml."""

from __future__ import annotations

from pathlib import Path

from generator.model.content.work_words import WorkRules
from generator.read.yaml.yaml_file import read_yaml_file

FILE = "work.yaml"


def read_work(content: Path) -> WorkRules:
    """Return the rules. InputFaults with all the file's faults."""
    return read_yaml_file(content / FILE, WorkRules, f"{content.name}/{FILE}")
