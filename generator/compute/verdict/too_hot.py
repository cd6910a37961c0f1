"""Whether water can be hotter than its limit."""

from __future__ import annotations

from generator.model.figures import Figure


def too_hot(hottest: Figure, limit: Figure) -> bool:
    """Return whether water can pass its limit [K] anywhere in its band; a figure without value, or not to be used, can.

    >>> limit = Figure("limit", "Limit", 322.0, "temperature")
    >>> too_hot(Figure("hottest", "Hottest", 321.9, "temperature"), limit)
    False
    >>> too_hot(Figure("hottest", "Hottest", 321.9, "temperature", band=(317.0, 323.0)), limit)
    True
    >>> too_hot(Figure("hottest", "Hottest", None, "temperature", state="stop"), limit)
    True
    """
    if not (isinstance(hottest.value, float) and isinstance(limit.value, float)):
        return True
    greatest = max(hottest.value, hottest.band[1]) if hottest.band else hottest.value
    return hottest.state != "ok" or limit.state != "ok" or greatest > limit.value
