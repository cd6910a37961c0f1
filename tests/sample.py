"""How many cases a property is tried on: a sample on every run, many more where `HANDBOOK_EXPLORE` is set."""

import os

EXPLORED = os.environ.get("HANDBOOK_EXPLORE", "")


def sample(few: int, many: int) -> int:
    """`few` cases on an ordinary run, `many` when exploring: the same draw, only longer."""
    return many if EXPLORED else few
