"""Whether water can be hotter than its limit."""

from __future__ import annotations

from generator.model.figures import Figure


def too_hot(hottest: Figure, limit: Figure) -> bool:
    """Return whether water can pass its limit [K]; a figure without value, or not to be used as it stands, can.

    >>> limit = Figure("limit", "Limit", 322.0, "temperature")
    >>> too_hot(Figure("hottest", "Hottest", 321.9, "temperature"), limit)
    False
    >>> too_hot(Figure("hottest", "Hottest", None, "temperature", state="stop"), limit)
    True
    """
    if not (isinstance(hottest.value, float) and isinstance(limit.value, float)):
        return True
    return hottest.state != "ok" or limit.state != "ok" or hottest.value > limit.value
