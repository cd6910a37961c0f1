"""What the front's table says of flow and heat, and what the record expects of each stage."""

from __future__ import annotations

import math
from collections.abc import Sequence

from generator.assemble.documents import SiteView
from generator.assemble.facts import bare
from generator.compute.verdict.set_flow import selected_stage
from generator.model.content.card_words import CardWord
from generator.model.documents.card import HeatRow, StageRow
from generator.model.figures import Figure, Value
from generator.model.outlet_flows import GREATEST, LEAST, WORKING
from generator.model.records import Expected
from generator.model.results import FlowWindow

SAME_M3_S = 1e-9  # flows of two tables closer than this are one flow
# What a flow of the window stands for; the one that is set goes before the others.
MARKS: dict[str, CardWord] = {WORKING: "mark-set", LEAST: "mark-min", GREATEST: "mark-max"}

_Row = tuple[Value, tuple[Figure, ...]]


def set_flow(view: SiteView) -> Figure | None:
    """Return the working flow where a hand may set it: it lies in the window that leads."""
    if view.stays_off or view.result.water is None:
        return None
    flow = view.result.water.working_flow
    return bare(flow) if isinstance(flow.value, float) and _within(flow.value, view.window) else None


def _within(flow_m3_s: float, window: FlowWindow) -> bool:
    least, greatest = window.least.value, window.greatest.value
    if window.why_empty or not isinstance(least, float):
        return False
    return least <= flow_m3_s and (
        window.greatest.state == "no-bound" or (isinstance(greatest, float) and flow_m3_s <= greatest)
    )


def heat_rows(view: SiteView) -> tuple[HeatRow, ...]:
    """Return the rows of the front's table by flow: the flow of the hottest water, those of the window, and each peak
    that would be missed between two of them.

    So at any flow the water is no hotter than the hotter of the rows on both sides; below the first row, than the
    hottest of all.
    """
    stages = selected_stage(view.spec, view.heater)
    winter = [(head, cells[:stages]) for head, cells in view.result.outlet_winter.rows]
    summer = [(head, cells[:stages]) for head, cells in view.result.outlet_summer.rows]
    marked = {_flow(head): mark for head, _ in (*winter, *summer) if (mark := _mark(head, view))}
    chosen = _with_peaks(summer, set(marked))
    worst = max(summer, key=lambda row: _hottest(row[1]), default=None)
    rows = []
    for flow in sorted(chosen):
        here: CardWord | None = "mark-worst" if worst and flow == _flow(worst[0]) else marked.get(flow)
        rows.append(_heat_row(_at(winter, flow) if flow in marked else None, _at(summer, flow), here))
    return tuple(row for row in rows if row.winter or row.summer)


def _heat_row(cold: _Row | None, warm: _Row | None, mark: CardWord | None) -> HeatRow:
    row = warm or cold
    assert row is not None  # every flow chosen is that of a row
    flow = Value("flow", row[0].value, "flow", row[0].bound)
    return HeatRow(flow, max(_stages_on(warm), _stages_on(cold)), _last(cold), _top(warm), mark)


def _mark(head: Value, view: SiteView) -> CardWord | None:
    if view.stays_off or view.window.why_empty:
        return None
    names = head.symbol.split(", ")
    return next((mark for name, mark in MARKS.items() if name in names and (name != WORKING or set_flow(view))), None)


def _with_peaks(summer: Sequence[_Row], chosen: set[int]) -> set[int]:
    """Return the chosen flows with every row, the hottest first, that is hotter than the chosen ones on both sides."""
    found = set(chosen)
    hot = {_flow(head): _hottest(cells) for head, cells in summer}
    most = max(hot.values(), default=0.0)
    for flow in sorted(hot, key=lambda flow: (-hot[flow], flow)):
        left = max((other for other in found if other <= flow and other in hot), default=None)
        right = min((other for other in found if other >= flow and other in hot), default=None)
        reads = max(hot[left] if left is not None else 0.0, hot[right] if right is not None else 0.0)
        if hot[flow] > reads and not (left is None and found and hot[flow] < most):
            found.add(flow)
    return found


def _flow(head: Value) -> int:
    return round(float(head.value) / SAME_M3_S)


def _hottest(cells: Sequence[Figure]) -> float:
    return max(map(_heat, cells), default=0.0)


def _heat(cell: Figure) -> float:
    """Return an outlet [K]; the most where the cut-out opens first, none where no stage is on."""
    if cell.state == "above-cut-out":
        return math.inf
    return cell.value if isinstance(cell.value, float) else 0.0


def _at(rows: Sequence[_Row], flow: int) -> _Row | None:
    return next((row for row in rows if _flow(row[0]) == flow), None)


def _stages_on(row: _Row | None) -> int:
    return max((number for number, cell in enumerate(row[1], 1) if _heat(cell)), default=0) if row else 0


def _last(row: _Row | None) -> Figure | None:
    """Return the outlet with the most stages that are on."""
    cells = [cell for cell in row[1] if _heat(cell)] if row else []
    return bare(cells[-1]) if cells else None


def _top(row: _Row | None) -> Figure | None:
    """Return the hottest outlet of a row, whatever number of stages gives it."""
    top = max(row[1], key=_heat, default=None) if row else None
    return bare(top) if top and _heat(top) else None


def record_flow(view: SiteView) -> Value | None:
    """Return the flow at which the record is taken: the one that is set, else the end of the window; None: none is."""
    if view.stays_off or view.window.why_empty:
        return None
    ends = (set_flow(view), view.window.greatest, view.window.least)
    found = next((end for end in ends if end is not None and isinstance(end.value, float)), None)
    return Value("flow", found.value, "flow", found.bound) if found and found.value is not None else None


def stage_rows(view: SiteView) -> tuple[StageRow, ...]:
    """Return what each stage in use is expected to give at the flow of the record and the stated voltage."""
    return tuple(_stage_row(view, stage) for stage in range(1, int(view.window.number) + 1))


def _stage_row(view: SiteView, stage: int) -> StageRow:
    feed = next(feed.name for feed in view.heater.electrical.feeds if stage in feed.stages)
    amps = [row for row in _expected(view, "amps", stage) if row.named("feed") == feed]
    lines = {row.named("line"): row for row in amps if row.value}
    by_line = any(circuit.lines for circuit in view.result.circuits)
    shown = list(lines.values()) if by_line else list(lines.values())[:1]
    ends = [(row.least, row.greatest) for row in shown if row.least and row.greatest and not by_line]
    rises = [row.value for row in _expected(view, "rise", stage)] if set_flow(view) else []
    currents = tuple(row.value for row in shown if row.value)
    return StageRow(stage, feed, currents, between=next(iter(ends), None), rise=next(iter(rises), None))


def _expected(view: SiteView, item: str, stage: int) -> list[Expected]:
    """Return the rows of the site's record of an item with so many stages on."""
    rows = (row for row in view.result.expected if row.item == item)
    return [row for row in rows if any(of.symbol == "stage" and of.value == float(stage) for of in row.of)]
