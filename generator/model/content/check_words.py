"""The words of the report of `handbook check`: content/words/check.yaml."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Literal

CheckWord = Literal[
    "column-site",
    "column-breaker",
    "column-wire",
    "column-flow",
    "column-hottest",
    "column-limit",
    "standing-stop",
    "standing-not-commissioned",
    "breaker",
    "several",
    "flow-window",
    "flow-least",
    "no-flow",
    "hottest-or-more",
    "not-known",
    "stop",
    "open",
    "passed",
    "decided",
    "found",
    "do",
    "of-rule",
    "in-short",
    "source",
    "more",
    "counts",
    "stands-open",
    "own-notices",
    "own-files",
    "original-changed",
    "original-unknown",
    "notices-left-out",
]
# The places for values that an entry has, none where it is not named.
CHECK_PLACES: Mapping[CheckWord, tuple[str, ...]] = {
    "breaker": ("device", "poles"),
    "several": ("count", "what"),
    "flow-window": ("least", "greatest"),
    "flow-least": ("least",),
    "hottest-or-more": ("hottest",),
    "found": ("where", "text"),
    "do": ("text", "rule"),
    "of-rule": ("title", "rule", "where"),
    "in-short": ("text", "rule"),
    "source": ("source",),
    "more": ("most",),
    "counts": ("stops", "sites", "open", "decided", "passed"),
    "stands-open": ("stops", "sites", "open"),
    "own-notices": ("path",),
    "own-files": ("paths",),
    "original-changed": ("path",),
    "original-unknown": ("path",),
    "notices-left-out": ("path", "notices"),
}
