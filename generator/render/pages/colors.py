"""The accent colors of a handbook's own, held to the contrast in which small text can be read, and put over the style.

Contrast: (L1 + 0.05) / (L2 + 0.05) of the relative luminances, the lighter first; AA asks for 4.5 to 1 of small text
(WCAG 2.2, success criterion 1.4.3 and "relative luminance"; the same since 2.0).
"""

from __future__ import annotations

import re
from collections.abc import Iterator

from generator.model.settings import Colors

AA = 4.5
STYLE = "handbook.css"
WHITE = "#ffffff"
_GROUNDS = ("paper", "wash")


def luminance(color: str) -> float:
    """Return the relative luminance of an sRGB color written #rrggbb, 0 of black to 1 of white (WCAG 2.2).

    >>> round(luminance("#ffffff"), 6), luminance("#000000")
    (1.0, 0.0)
    """
    parts = (int(color[place : place + 2], 16) / 255.0 for place in (1, 3, 5))
    red, green, blue = (one / 12.92 if one <= 0.04045 else ((one + 0.055) / 1.055) ** 2.4 for one in parts)
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue


def contrast(one: str, other: str) -> float:
    """Return the contrast of two colors written #rrggbb, from 1 to 21 (WCAG 2.2).

    >>> round(contrast("#000000", "#ffffff"), 6)
    21.0
    """
    low, high = sorted((luminance(one), luminance(other)))
    return (high + 0.05) / (low + 0.05)


def unreadable(colors: Colors, style: str) -> Iterator[tuple[str, str, str]]:
    """Yield (key, what is wrong, what would be right) of each color that AA refuses on a ground of the style sheet.

    The light accent is the ground of the page's head too, with white text on it, in light and dark.
    """
    for key, accent, grounds in (
        ("light", colors.light, [*_grounds(style, "root"), ("the white text of the head", WHITE)]),
        ("dark", colors.dark, _grounds(style, "slate")),
    ):
        for name, ground in grounds if accent else ():
            if (ratio := contrast(accent or "", ground)) < AA:
                wrong = f"'{accent}' has a contrast of {int(ratio * 100) / 100:.2f} to 1 with {name}, {ground}"
                way = "darker" if key == "light" else "lighter"
                yield key, wrong, f"at least {AA} to 1 (WCAG 2.2, AA): a {way} color"


def with_colors(style: str, colors: Colors | None) -> str:
    """Return a style sheet with the accents of the handbook in the place of its own."""
    if colors is None:
        return style
    light = f":root{{--link:{colors.light};--deep:{colors.light}}}" if colors.light else ""
    dark = f'[data-md-color-scheme="slate"]{{--link:{colors.dark}}}' if colors.dark else ""
    return f"{style.rstrip()}\n\n/* The handbook's own accents. */\n\n{light}\n{dark}\n"


def _grounds(style: str, scheme: str) -> list[tuple[str, str]]:
    """Return the grounds that text of a scheme stands on, by name, as the style sheet states them."""
    rules = re.findall(rf"{scheme}\"?\]? \{{([^}}]*)\}}", style)
    found = {name: color for rule in rules for name, color in re.findall(r"--(\w+): (#[0-9a-f]{6});", rule)}
    return [(f"the ground of the page ({name}, {scheme})", found[name]) for name in _GROUNDS]
