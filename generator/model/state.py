"""The states of a figure: codes of one closed list, each why a value must not be used as it stands.

What a reader sees for a code stands in content/words/states.yaml.
"""

from __future__ import annotations

from typing import Literal, get_args

State = Literal[
    "ok",
    "none",
    "stop",
    "not-on",
    "next-stage-on",
    "not-selected",
    "beyond-supply",
    "below-working-pressure",
    "below-wanted",
    "below-target",
    "above-limit",
    "above-model-limit",
    "above-cut-out",
    "at-cut-out",
    "no-bound",
]
STATES: tuple[State, ...] = get_args(State)
