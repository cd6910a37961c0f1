"""Who says so where it is no published document, and how several sources stand one behind another."""

from __future__ import annotations

from functools import lru_cache, reduce

from generator.model.said import Said, say

NAMEPLATE, STATED = say("nameplate"), say("stated-for-site")
PRACTICE, SITE_DATA = say("common-practice"), say("site-data")


@lru_cache(maxsize=1_000, typed=True)  # a text that compute says is equal to its key: the type tells them apart
def sources(*parts: str) -> str:
    """Return sources one behind another, each once. ValueError without any."""
    once = dict.fromkeys(parts)
    if not once:
        raise ValueError("a source is needed")
    return reduce(lambda one, other: say("sources", one=one, other=other), once)


def parts_of(source: str) -> tuple[str, ...]:
    """Return the sources that stand one behind another in a source."""
    if not isinstance(source, Said):
        return tuple(source.split("; "))
    if source.key != "sources":
        return (source,)
    return tuple(part for one in source.values.values() if isinstance(one, str) for part in parts_of(one))
