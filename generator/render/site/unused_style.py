"""Rules of a minified style sheet that can apply to no page: they need a class that no page and no script has."""

from __future__ import annotations

import re
from collections.abc import Collection

# Innermost rules: selectors and declarations, also those inside @media.
_RULE = re.compile(r"([^{}]+)\{([^{}]*)\}")
_EMPTY_AT = re.compile(r"@[^{};]+\{\s*\}")
# What :is(), :not() and the like hold asks for no class by itself.
_ARGUMENT = re.compile(r"\([^()]*\)")
_CLASS = re.compile(r"\.(-?[A-Za-z_][\w-]*)")
# The value that an attribute must have; only for those that the theme sets from the pages.
_VALUE = re.compile(r"\[data-md-color-(?:primary|accent)=\"?([\w-]+)\"?\]")
# Each begins with a fixed text, which Python looks for many times as fast as for one of several.
_NAMED = tuple(re.compile(rf'{name}=(?:"([^"]*)"|([^\s">]+))') for name in ("class", r"data-md-color-\w+"))
_COMMA = re.compile(r",(?![^(]*\))")
_IMAGE = re.compile(r"(--[\w-]+):url\((?:\"[^\"]*\"|'[^']*'|[^)]*)\);?")


def names_in(page: str) -> set[str]:
    """Return the classes and the colour names that a page of HTML has."""
    found = {held for pattern in _NAMED for held in pattern.findall(page)}
    return {name for quoted, bare in found for name in (quoted or bare).split()}


def without_unused(style: str, names: Collection[str], *, beside: str = "") -> str:
    """Return a style sheet without the rules that need a class or a colour which is not among `names`.

    Custom properties that are images and that neither the rest nor the style sheets `beside` use go with them.
    """

    def kept(rule: re.Match[str]) -> str:
        selectors = rule[1]
        if selectors.lstrip().startswith("@"):
            return rule[0]
        live = [one for one in _COMMA.split(selectors) if _can_apply(one, names)]
        return f"{','.join(live)}{{{rule[2]}}}" if live else ""

    style = _without_empty(_RULE.sub(kept, style))
    used = set(re.findall(r"var\((--[\w-]+)", style + beside))
    return _IMAGE.sub(lambda image: image[0] if image[1] in used else "", style)


def _can_apply(selector: str, names: Collection[str]) -> bool:
    while (shorter := _ARGUMENT.sub("", selector)) != selector:
        selector = shorter
    return all(name in names for name in (*_CLASS.findall(selector), *_VALUE.findall(selector)))


def _without_empty(style: str) -> str:
    while (shorter := _EMPTY_AT.sub("", style)) != style:
        style = shorter
    return style
