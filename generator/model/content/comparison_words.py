"""What a fault-finding check may be compared with, by key, and the words of it.

content/words/comparisons.yaml holds what stands over each, content/words/compared.yaml the names of its values, and why
there are none.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Literal, get_args

# Of the heater as it is built ...
ModelComparison = Literal[
    "supply-voltage",
    "element-insulation",
    "closes-at",
    "opens-at",
    "working-pressure",
    "head-loss",
    "greatest-inlet",
    "greatest-outlet",
    "cut-out",
    "maximum-device",
    "torque",
]
# ... and of the heater where it hangs: its supply, its water and its limit differ from site to site.
SiteComparison = Literal[
    "flow-window",
    "limit",
    "inlet",
    "voltage-drop",
    "stage-current",
    "rise",
    "lost-supply",
    "element-resistance",
]
Comparison = ModelComparison | SiteComparison
OF_MODEL: tuple[ModelComparison, ...] = get_args(ModelComparison)
AT_SITE: tuple[SiteComparison, ...] = get_args(SiteComparison)
COMPARISONS: tuple[Comparison, ...] = (*OF_MODEL, *AT_SITE)

# The figures that a question of fault finding may name, as places.
QUESTION_VALUES = (
    "turns_on",  # flow at which stage 1 turns on
    "last_turns_on",  # the same of the last stage in use
    "least",  # ends of the flow window ...
    "greatest",
    "fastest",  # ... and how fast `container` fills there
    "slowest",
    "container",
    "stage",  # the stage selected
    "limit",
    "coldest",
    "warmest",
    "volts_least",
    "volts_greatest",
    "pressure_least",
    "pressure_greatest",
    "cut_out",
    "wait",
    "working_flow",
    "rise_least",
    "ohms_least",
    "ohms_greatest",
    "breaker",
    "wire",
    "ground_ohms",
    "no_flow_amps",
    "torque",
)

ComparedWord = Literal[
    "least",
    "greatest",
    "at-least",
    "at-most",
    "most-it-gives",
    "greatest-inlet",
    "greatest-outlet",
    "cut-out",
    "terminals",
    "limit",
    "coldest",
    "warmest",
    "stated",
    "stages",
    "stage",
    "stage-least",
    "stage-of-line",
    "of-feed",
    "drop",
    "drop-of-feed",
    "flow",
    "loss",
    "none-unfit",
    "none-other-circuit",
    "none-off",
    "none-no-flow",
    "none",
]
# The places for values that an entry has, none where it is not named.
COMPARED_PLACES: Mapping[ComparedWord, tuple[str, ...]] = {
    "stage": ("stage",),
    "stage-least": ("stage",),
    "stage-of-line": ("stage", "line"),
    "of-feed": ("feed", "reading"),
    "drop-of-feed": ("feed",),
    "none-off": ("failed",),
    "none": ("why",),
}
