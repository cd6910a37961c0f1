"""How a site's findings are made: one id, `<site id>.<rule>`, for every rule."""

from __future__ import annotations

from generator.model.figures import Finding, Sentence, Severity, Value
from generator.model.site import Site


def finding(
    site: Site, rule: str, severity: Severity, found: tuple[str, tuple[Value, ...]], why: str, do: str, source: str
) -> Finding:
    """Return a finding of a site; `found` is the sentence's template and its values."""
    words, values = Sentence(*found), found[1]
    return Finding(f"{site.id}.{rule}", rule, severity, site.id, words, plain(why), plain(do), source, values=values)


def plain(text: str) -> Sentence:
    """Return a text as a sentence, whatever a writer put into it."""
    if "{" in text or "}" in text:
        return Sentence("{text}", (Value("text", text, "text"),))
    return Sentence(text)


def listed(words: list[str]) -> str:
    """Return `a`, `a and b` or `a, b and c`."""
    return words[0] if len(words) == 1 else f"{', '.join(words[:-1])} and {words[-1]}"
