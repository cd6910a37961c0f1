"""The words of the registers: content/words/register.yaml."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Literal

RegisterWord = Literal[
    "card",
    "panel-label",
    "heater-label",
    "out-of-date",
    "near-miss",
    "hung-current",
    "hung-stale",
    "known-already",
    "taken",
    "noted",
    "judged",
    "refused",
    "there",
    "there-by-site",
    "left",
    "unknown-serial",
    "nowhere",
]
# The places for values that an entry has, none where it is not named.
REGISTER_PLACES: Mapping[RegisterWord, tuple[str, ...]] = {
    "out-of-date": ("what", "site", "old", "since", "new"),
    "near-miss": ("site", "date", "text"),
    "hung-current": ("code", "site", "since"),
    "hung-stale": ("code", "site", "since", "new"),
    "known-already": ("line",),
    "taken": ("line", "path"),
    "noted": ("line", "path", "site", "lacks"),
    "judged": ("line", "path", "site"),
    "refused": ("file", "number", "line", "wrong"),
    "there": ("site", "serial", "since"),
    "there-by-site": ("site", "serial"),
    "left": ("site", "serial", "until"),
    "unknown-serial": ("site",),
}
