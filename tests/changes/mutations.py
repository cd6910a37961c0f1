"""Another value for any scalar of the demo's YAML, and the edit of the file that puts it there.

A mutation must be one that a writer could make: candidates are tried in order until the handbook accepts one.
"""

import datetime
import re
from collections.abc import Iterator

from generator.model.inputs import FilePlace

QUANTITY = re.compile(r"([+-]?[0-9]+(?:\.[0-9]+)?) ([A-Za-z%].*)")
TELEPHONE = re.compile(r"[0-9]{3}-[0-9]{4}")
# Words of which exactly one may stand at a key: each is tried in the place of another.
WORDS = (
    ("indoor", "damp", "wash-down", "outdoor", "bathroom", "kitchen"),
    ("in sight", "lockable", "none"),
    ("dwelling", "other"),
    ("copper", "aluminum"),
    ("lavatory", "public lavatory", "kitchen sink", "service sink", "shower", "tub", "rinse bay"),
    ("northern", "southern"),
    ("both", "us", "si"),
    ("letter", "a4"),
    ("iec", "us"),
    ("1", "3"),
    ("L1-L2", "L2-L3", "L3-L1"),
    ("line", "line 1", "line 2", "line 3", "neutral", "ground"),
    ("emt", "pvc-conduit", "uf-cable", "nm-cable"),
    ("THWN-2", "XHHW-2", "THHN"),
    ("A1", "A2", "B1", "B2", "C", "D1", "E"),
    ("PVC", "XLPE"),
    ("60 degC", "75 degC", "90 degC", "70 degC"),
    ("60 Hz", "50 Hz"),
    ("14 AWG", "12 AWG", "10 AWG", "8 AWG", "6 AWG", "4 AWG", "1/0 AWG", "2/0 AWG"),
    ("1.5 mm2", "2.5 mm2", "4 mm2", "6 mm2", "10 mm2"),
    ("3/8 in", "1/2 in", "3/4 in", "1 in"),
    ("15 mm", "22 mm"),
    ("copper-k", "copper-l", "copper-m", "pex", "pvc-40", "cpvc", "galvanized"),
    ("copper-metric", "pex-metric"),
    ("TN-S", "TT"),
    ("split-phase", "wye", "high-leg delta", "corner-grounded delta"),
    ("utility statement", "recording of a week"),
    ("house", "garage", "accessory building", "boathouse"),
    ("NM-B", "NM"),
    ("10 mA", "30 mA"),
    ("agricultural", "other", "dwelling"),
    ("bunched", "single layer on wall", "under ceiling"),
    ("beck-9", "rill-3", "rill-4m", "tarn-18"),
    ("fundamentals", "shock", "overcurrent", "common-rules", "wiring", "switching", "earthing", "bathrooms", "farms"),
    ("breakers", "voltages", "appliances", "maker", "own"),
    ("service-voltage", "maker", "own"),
    ("true", "false"),
    ("thermostatic", "pressure-balancing"),
)


def candidates(text: str) -> Iterator[str]:
    """Yield other texts for `text`, the likeliest first."""
    if text in ("yes", "no"):
        yield {"yes": "no", "no": "yes"}[text]
        yield "no, reason: used in short turns"  # a load called non-continuous needs a reason beside it
        return
    if re.fullmatch(r"[0-9]{4}-[0-9]{2}-[0-9]{2}", text):
        yield (datetime.date.fromisoformat(text) + datetime.timedelta(days=1)).isoformat()
        return
    if TELEPHONE.fullmatch(text):
        yield f"{text[:-1]}{(int(text[-1]) + 1) % 10}"
    for words in WORDS:
        if text in words:
            yield from (word for word in words if word != text)
    if quantity := QUANTITY.fullmatch(text):
        yield from (f"{number} {quantity[2]}" for number in _numbers(quantity[1]))
    elif re.fullmatch(r"[0-9]+(\.[0-9]+)?", text):
        yield from _numbers(text)
    elif text not in ("yes", "no"):
        yield f"{text}x"


def _numbers(text: str) -> Iterator[str]:
    decimals = len(text.partition(".")[2])
    last = 10.0**-decimals
    value = float(text)
    changed = (value * 1.1, value * 0.9, value + last, value - last, value + last / 10, value * 2, value / 2)
    for number in changed:
        shown = f"{number:.{decimals + 2}f}".rstrip("0").rstrip(".")
        if shown not in (text, "-0") and float(shown) != value:
            yield shown


def edited(content: str, place: FilePlace, new: str) -> str:
    """Return a file's content with the scalar at `place` replaced by `new`."""
    lines = content.split("\n")
    line, start = lines[place.line - 1], place.column - 1
    for raw in (f'"{place.text}"', f"'{place.text}'", place.text):
        if line.startswith(raw, start):
            put = f'"{new}"' if raw != place.text else new
            lines[place.line - 1] = line[:start] + put + line[start + len(raw) :]
            return "\n".join(lines)
    return _edited_block(lines, place)


def _edited_block(lines: list[str], place: FilePlace) -> str:
    """Change the first word of a text that runs over several lines."""
    first = place.text.split()[0]
    for number in range(place.line - 1, len(lines)):
        if first in lines[number]:
            lines[number] = lines[number].replace(first, f"{first}x", 1)
            return "\n".join(lines)
    raise AssertionError(f"{place} is not found in its file")
