"""What of a card its page holds: estimated heights, two columns, and the drops that make them fit.

The heights follow content/print/card.typ. They are estimates: Typst has the last word, and a card that it finds too
tall is fitted again with less room (print_card.py).
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

from generator.render.card_drops import DROPS, shortened
from generator.render.text_width import line_count
from generator.render.typst_texts import Texts

# All lengths in points. PAGES: width and height of the paper.
PAGES = {"letter": (612.0, 792.0), "a4": (595.3, 841.9)}
MARGIN, GUTTER, GAP = 24.0, 12.0, 4.0
# card.typ: size and line pitch of the body, what the first line is lower, the title of a block with what follows it.
SIZE, LINE, FIRST_LINE, TITLE = 9.0, 10.0, 3.8, 11.0
STEP_GAP, STOP_GAP = 3.0, 3.0
MOST_EXTRA_GAP = 6.0
TIGHT_GAP = 1.5  # between the parts of a card that has nothing left to drop
WIRE_WIDTH = 180.0  # what the words beside a conductor's size have at least
HEAD_ASIDE, QR_SIDE = 215.0, 56.0
LEGEND_SIGN = " - an entry of the usual length, or longer"


@dataclass(frozen=True, slots=True)
class Fit:
    """The texts that fit, how many parts stand in the first column, the gap between parts [pt], and what was dropped
    (places in DROPS)."""

    texts: Texts
    first: int
    gap: float
    dropped: tuple[int, ...] = ()


def fit(texts: Texts, paper: str, less: float = 0.0) -> Fit | None:
    """Return the fullest form whose estimated height the page holds, with `less` [pt] of its room kept free.

    What goes first is in DROPS; what has room again at the end comes back, last dropped first. None: nothing fits.
    """
    page = page_of(paper, less)
    dropped: list[int] = []
    while not (found := page.split(shortened(texts, dropped))):
        more = next((place for place in _left(dropped) if _changes(texts, dropped, place)), None)
        if more is None:
            return page.split(shortened(texts, dropped), TIGHT_GAP)
        dropped.append(more)
    while better := next(_with_one_back(texts, dropped, page), None):
        dropped, found = better
    return replace(found, dropped=tuple(dropped))


def _with_one_back(texts: Texts, dropped: list[int], page: TypeArea) -> Iterator[tuple[list[int], Fit]]:
    """Yield what still fits with one of the drops taken back, the last first. One that comes back can make room for
    another: the card then says less of what it leaves out."""
    for place in reversed(dropped):
        fewer = [other for other in dropped if other != place]
        if better := page.split(shortened(texts, fewer)):
            yield fewer, better


def page_of(paper: str, less: float = 0.0) -> TypeArea:
    """Return the type area of a page of `paper`, with `less` [pt] of its height kept free."""
    width, height = PAGES[paper]
    return TypeArea(width - 2 * MARGIN, height - 2 * MARGIN - less)


def _left(dropped: list[int]) -> range:
    return range(dropped[-1] + 1 if dropped else 0, len(DROPS))


def _changes(texts: Texts, dropped: list[int], place: int) -> bool:
    now = shortened(texts, dropped)
    return DROPS[place][2](now) != now


@dataclass(frozen=True, slots=True)
class TypeArea:
    """The type area of a page."""

    width: float
    height: float

    @property
    def column(self) -> float:
        """Width of one of the two columns."""
        return (self.width - GUTTER) / 2

    def split(self, texts: Texts, gap: float = GAP) -> Fit | None:
        """Return how the parts share two columns with at least `gap` between them, or None where they do not fit."""
        room = self.height - sum(self.across(texts)) - GAP * len(list(self.across(texts)))
        parts = list(self.parts(texts))
        longer = [max(_total(parts[:cut], gap), _total(parts[cut:], gap)) for cut in range(len(parts) + 1)]
        if min(longer) > room:
            return None
        first = longer.index(min(longer))
        spare = (room - min(longer)) / max(1, first - 1, len(parts) - first - 1)
        return Fit(texts, first, gap + min(MOST_EXTRA_GAP, 0.7 * spare))

    def across(self, texts: Texts) -> Iterator[float]:
        """Yield the heights of what runs across the page."""
        yield self.head(texts)
        if texts["stops"]:
            found = [self.stop(stop) for stop in texts["stops"]]
            yield 8 + TITLE + sum(found) + STOP_GAP * (len(found) - 1)
        if texts["decided"]:
            found = [self.decided(stop) for stop in texts["decided"]]
            yield 8 + TITLE + sum(found) + STOP_GAP * (len(found) - 1)
        yield 1.5
        facts = " · ".join(f"{label}: {text}" for label, text in texts["circuit_facts"])
        rows = 1 if texts["circuit_shown"] == "as found" else len(texts["circuits"])
        yield 28.5 + circuit_row(texts["wire"]) * rows + paragraph("", self.width, facts)
        if texts["circuit_shown"] == "to install":
            yield LINE
        if texts["window"]:
            yield self.tiles(texts)
        if texts["outlets"]:
            yield outlet_height(texts) + 3 + paragraph(LEGEND_SIGN * legend_signs(texts), self.width)
        if texts["left_out"]:
            said = f"Left out for room: {', '.join(texts['left_out'])}. The full page has them."
            yield paragraph(said, self.width, "Shorter form. ")
        if texts["reading_rows"]:
            yield TITLE + 13 + 17 * texts["reading_rows"]
        head = texts["head"]
        said = f"{texts['deferral']} Help: {head['contact']}. {head['handbook']}."
        yield paragraph(said, self.width, f"Planning values, {texts['basis']}. ")

    def stop(self, stop: Texts) -> float:
        """Return the height of a failed check in its box."""
        decision = f" {stop['decision']}." if stop["decision"] else ""
        lapsed = f" {stop['lapsed']}" if stop["lapsed"] else ""
        return paragraph(f" {stop['do']}{decision}{lapsed}", self.width - 8, stop["found"])

    def decided(self, stop: Texts) -> float:
        """Return the height of a failed check that was accepted or waived, in its box."""
        return paragraph(f" {stop['decision']}.", self.width - 8, stop["found"])

    def head(self, texts: Texts) -> float:
        """Return the height of the head: of site and heater, of code and address beside them, or of the QR code."""
        head, left = texts["head"], self.width - HEAD_ASIDE - QR_SIDE - 16
        titles = 21 * line_count("", left, 19, bold=head["site"]) + 14 * line_count(_heater(head), left, 12)
        address = f"{head['address'] or head['page']}"
        return max(QR_SIDE, titles + paragraph(head["publisher"], left), 34 + paragraph(address, HEAD_ASIDE))

    def tiles(self, texts: Texts) -> float:
        """Return the height of the two tiles under the circuit."""
        window, inside = texts["window"], (self.width - 8) / 2 - 8
        # The reason stands behind a large "none", about ten signs wide.
        why = "" if window["window"] else f"{'x' * 10} {window['why_empty']}"
        hottest = texts["hottest"]
        title = line_count("", inside, SIZE + 1, bold=f"Hottest water: {hottest['reason']}")
        # Behind the large temperature, about eighteen signs wide, the same in the other unit, about ten, and the limit.
        limit = f"{'x' * 28} ! up to {hottest['top']}, above the limit of {texts['limit']}"
        hot = title + line_count("", inside, SIZE, bold=limit) - 2
        return 34.6 + LINE * max(line_count(why, inside, SIZE) - 1, hot)

    def parts(self, texts: Texts) -> Iterator[float]:
        """Yield the heights of the parts of the columns, in reading order."""
        if texts["stages"]:
            yield self.stages(texts)
        yield from self.steps(texts["start_up"])
        if texts["allowed"]:
            yield TITLE + 12 + 12 * len(texts["allowed"]["rows"])
        yield from self.steps(texts["shut_down"])
        yield from self.titled([self.notice(notice) for notice in texts["notices"]])
        yield from self.titled([self.text(f" {point['do']}", f"!  {point['found']}") for point in texts["attentions"]])
        yield from self.titled([self.check(check) for check in texts["checks"]])

    def steps(self, steps: list[str]) -> Iterator[float]:
        """Yield the height of a procedure, where it has steps."""
        if steps:
            yield TITLE + sum(paragraph(step, self.column - 14) for step in steps) + STEP_GAP * (len(steps) - 1)

    def stages(self, texts: Texts) -> float:
        """Return the height of the table of stages; its rows are low where the lines of several circuits crowd it."""
        heads = len(texts["clamp"])
        if heads > 3:
            room, windows = self.column - 58 - 20 * heads, [stage["window"][:1] for stage in texts["stages"]]
            row = 10.5
        else:
            room, windows, row = self.column - 145, [stage["window"] for stage in texts["stages"]], 12.0
        rows = (line_count(" / ".join(window), room, SIZE) for window in windows)
        return TITLE + row + sum(row * lines for lines in rows)

    def titled(self, heights: Sequence[float]) -> Iterator[float]:
        """Yield the heights of parts of which the first stands under a title."""
        yield from (height + (TITLE if place == 0 else 0.0) for place, height in enumerate(heights))

    def text(self, plain: str, bold: str = "") -> float:
        """Return the height of a paragraph in a column."""
        return paragraph(plain, self.column, bold)

    def notice(self, notice: Texts) -> float:
        """Return the height of a notice."""
        plain = " ".join([notice["consequence"], *notice["avoidance"]])
        return self.text(f" {plain}", f"__! {notice['signal'].upper()}__ {notice['hazard']}")

    def check(self, check: Texts) -> float:
        """Return the height of a fault check."""
        compare = "".join(f" {label}: {values or 'see the table of stages'}." for label, values in check["compare"])
        plain = f" First: {check['state']}. {check['question']} {check['check']}{compare}"
        return self.text(plain, check["symptom"])


def _heater(head: Texts) -> str:
    return f"{head['heater']}, revision {head['heater_revision']}"


def paragraph(plain: str, width: float, bold: str = "") -> float:
    """Return the height of a paragraph of body text, `bold` first."""
    return LINE * line_count(plain, width, SIZE, bold=bold) - FIRST_LINE


def circuit_row(wire: Texts) -> float:
    """Return the height of a circuit's row: of its large figures, or of the words beside the size if they are more."""
    kind = line_count(f", {wire['terminals']}", WIRE_WIDTH, SIZE, bold=wire["kind"])
    method = line_count(f" · {wire['method']}", WIRE_WIDTH, SIZE, bold=wire["conductors"])
    return max(21.6, 5 + LINE * (kind + method) - FIRST_LINE)


def outlet_height(texts: Texts) -> float:
    """Return the height of the outlet tables, their titles and rows; card.typ computes the same."""
    outlets = texts["outlets"]
    if not outlets:
        return 0.0
    stages, rows = len(outlets[0]["columns"]), [row for outlet in outlets for row in outlet["rows"]]
    two = any(len(row["flow"]["parts"]) > 1 for row in rows)
    stacked = two and stages > 4
    each = [11 + 12 + (22 if stacked else 12) * len(outlet["rows"]) for outlet in outlets]
    return 14 + (max(each) if stages <= (7 if stacked else 9) else sum(each) + 4)


def legend_signs(texts: Texts) -> int:
    """Return how many entries the legend of the outlet tables has: the units, and each state but "ok"."""
    rows = (row for outlet in texts["outlets"] for row in outlet["rows"])
    return 1 + len({cell["state"] for row in rows for cell in row["cells"]} - {"ok"})


def _total(heights: Sequence[float], gap: float) -> float:
    return sum(heights) + gap * max(0, len(heights) - 1)
