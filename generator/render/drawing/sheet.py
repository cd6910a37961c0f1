"""The style of the drawings, which content/assets/drawing.css holds: for a drawing alone, and for paper."""

from __future__ import annotations

import re

from markupsafe import Markup

_COMMENT = re.compile(r"/\*.*?\*/", re.DOTALL)
_VARIABLE = re.compile(r"var\(--[\w-]+, ([^)]+)\)")
_DARK = re.compile(r'\[data-md-color-scheme="slate"\] \.drawing \{([^}]*)\}')
# What a page otherwise sets: the dark values of the colours that all of it has.
_PAGE = "--ink:#e8efed;--soft:#b3c0bd;--paper:#111917;--rule:#4b5a57;"


def alone(svg: str, css: str) -> Markup:
    """Return a drawing with its own style, `css`: in the colours of the system, and on paper in those of light."""
    light = " ".join(_DARK.sub("", _COMMENT.sub("", css)).split())
    dark = " ".join(declared for found in _DARK.findall(css) for declared in found.split())
    media = f"@media screen and (prefers-color-scheme:dark){{.drawing{{background:#111917;{_PAGE}{dark}}}}}"
    return Markup(svg.replace("<title>", f"<style>{light}{media}</style><title>", 1))


def on_paper(css: str) -> str:
    """Return the style for a typesetter that knows neither variables nor media: the fallbacks themselves."""
    return " ".join(_VARIABLE.sub(r"\1", _DARK.sub("", _COMMENT.sub("", css))).split())
