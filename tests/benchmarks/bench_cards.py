"""Cards a second, in print through Typst, against the same content through HTML and an HTML-to-PDF library.

A thousand different sites made from the demo data; every card is printed to its own file, PDF/UA-1, on all cores. The
other way prints a sample of the same cards (it is slow) on as many processes, also tagged, from plain HTML with the
same texts and fonts. What the sites' figures are is worked out before and not timed.
"""

from __future__ import annotations

import html
import os
import statistics
import sys
import tempfile
import time
from collections.abc import Iterator
from concurrent.futures import ProcessPoolExecutor
from functools import cache, partial
from itertools import chain
from multiprocessing import get_context
from pathlib import Path
from typing import Any

from weasyprint import CSS, HTML
from weasyprint.text.fonts import FontConfiguration

from generator.assemble.card import card
from generator.assemble.card_checks import card_checks
from generator.build import Folders, load
from generator.cards import STEPS
from generator.compute.notices import site_notices
from generator.model.card import Card, CardSteps
from generator.read.yaml_file import read_yaml_file
from generator.render.card_fit import fit
from generator.render.print_batch import Job, render_cards
from generator.render.print_card import Printing
from generator.render.typst_card import print_texts

ROOT = Path(__file__).parents[2]
sys.path.insert(0, str(ROOT))
from tests.print.random_sites import random_views  # noqa: E402  run as a script, the folder of tests is not known
from tests.styles import BOTH  # noqa: E402

CARDS, SAMPLE, RUNS = 1000, 30, 3
PRINTING = Printing(ROOT / "content" / "print", "letter", BOTH)
STYLE = """
@font-face { font-family: Card; src: url(FiraSansCondensed-Regular.ttf); }
@font-face { font-family: Card; font-weight: bold; src: url(FiraSansCondensed-Bold.ttf); }
@page { size: letter; margin: 24pt } body { font: 9pt/10pt Card } h1 { font-size: 19pt }
h2 { font-size: 10pt; margin: 0 } p, ol { margin: 2pt 0 }
.two { columns: 2; column-gap: 12pt } .big { font: bold 24pt Card } table { border-collapse: collapse; width: 100% }
td, th { border-top: 0.4pt solid; padding: 1pt } svg { float: right; width: 56pt; height: 56pt }
.box { border: 2pt solid; padding: 4pt } .side { display: flex; gap: 12pt } .side > * { flex: 1 }
.word { background: black; color: white; padding: 0 3pt }
"""


def main() -> None:
    """Print what was measured."""
    processes = os.cpu_count() or 1
    cards = list(_cards())
    with tempfile.TemporaryDirectory() as name:
        ours = [_ours(cards, Path(name) / str(run)) for run in range(RUNS)]
    theirs = _html_way(cards[:SAMPLE], processes)
    best, median = max(ours), statistics.median(ours)
    print(f"{CARDS} different cards, one file each, {processes} processes, {RUNS} runs")
    print(f"through Typst:     {median:7.1f} cards a second (median; from {min(ours):.1f} to {best:.1f})")
    print(f"through HTML:      {theirs:7.2f} cards a second ({SAMPLE} of the same cards, 1 run)")
    print(f"Typst is faster by {median / theirs:7.1f} times")


def _cards() -> Iterator[Card]:
    loaded = load(Folders(ROOT))
    steps = read_yaml_file(ROOT / "content" / STEPS, CardSteps, STEPS)
    for settings, view in random_views(loaded.inputs, 1, CARDS):
        notices = site_notices(
            view.spec, view.heater, view.result, notices=loaded.notices, basis=view.basis, target="card"
        )
        yield card(
            settings,
            view,
            notices,
            checks=card_checks(loaded.book.symptoms, view),
            steps=steps,
            stated=loaded.book.stated,
        )


def _ours(cards: list[Card], folder: Path) -> float:
    jobs = [Job(one, folder / f"{one.head.site_id}.pdf") for one in cards]
    start = time.perf_counter()
    outcomes = render_cards(jobs, PRINTING)
    seconds = time.perf_counter() - start
    failed = [outcome.wrong for outcome in outcomes if outcome.state != "written"]
    assert not failed, failed[:3]
    return len(cards) / seconds


def _html_way(cards: list[Card], processes: int) -> float:
    with ProcessPoolExecutor(processes, mp_context=get_context("spawn")) as pool:
        list(pool.map(_html_card, cards[:processes]))  # start the processes and read the fonts before the clock starts
        start = time.perf_counter()
        sizes = list(pool.map(_html_card, cards))
        assert all(sizes)
        return len(cards) / (time.perf_counter() - start)


def _html_card(one: Card) -> int:
    found = fit(print_texts(one, PRINTING.style), PRINTING.paper)
    assert found is not None
    page = HTML(string=_page(found.texts), base_url=str(PRINTING.folder / "fonts" / "x"))
    return len(page.write_pdf(stylesheets=[_style()], font_config=_fonts(), pdf_variant="pdf/ua-1", pdf_tags=True))


@cache
def _fonts() -> FontConfiguration:
    return FontConfiguration()


@cache
def _style() -> CSS:
    """Read once in each process, as the templates of the other way are."""
    return CSS(string=STYLE, base_url=str(PRINTING.folder / "fonts" / "x"), font_config=_fonts())


def _page(d: dict[str, Any]) -> str:
    h, e = d["head"], html.escape
    parts = [
        f"<h1>{e(h['site'])}</h1>{d['qr'] or ''}<p>{e(h['heater'])} {e(h['publisher'])} {d['code']} {h['date']}</p>"
    ]
    stops = "".join(f"<p><b>{e(stop['found'])}</b> {e(stop['do'])}</p>" for stop in d["stops"])
    parts.append(f"<div class=box><h2><span class=word>STOP</span></h2>{stops}</div>" if stops else "")
    keys = ("name", "device", "poles", "conductor", "ground", "load")
    parts.append(f"<p>{e(', '.join(d['wire'].values()))}</p>")
    parts.append(_table(keys, [[circuit[key] for key in keys] for circuit in d["circuits"]], "big"))
    parts.append(f"<p>{' · '.join(f'{e(label)}: <b>{e(fact)}</b>' for label, fact in d['circuit_facts'])}</p>")
    window = " / ".join(d["window"]["window"]) or d["window"]["why_empty"]
    tiles = (f"{window} {d['target']}", f"{_cell(d['hottest'])} {d['limit']}")
    parts.append(
        f"<div class=side>{''.join(f'<div class=box>{e(tile)}</div>' for tile in tiles)}</div><div class=side>"
    )
    for outlet in d["outlets"]:
        rows = [[_cell(row["flow"]), *map(_cell, row["cells"])] for row in outlet["rows"]]
        parts.append(f"<div><h2>{e(outlet['title'])}</h2>{_table(['Flow', *outlet['columns']], rows)}</div>")
    parts.append("</div>")
    start = f"<html lang=en><head><title>{e(h['site'])}</title></head><body>"
    return f"{start}{''.join(parts)}{_rest(d)}</body></html>"


def _rest(d: dict[str, Any]) -> str:
    e = html.escape
    stages = [
        [s["number"], s["power"], s["current"], _cell(s["closes_at"]), " / ".join(s["window"])] for s in d["stages"]
    ]
    parts = [_table(["On", "Power", "Current", "Closes at", "Flow window"], stages)]
    for title, key in (("Start up", "start_up"), ("Shut down", "shut_down")):
        parts.append(f"<h2>{title}</h2><ol>{''.join(f'<li>{e(step)}' for step in d[key])}</ol>")
    for n in d["notices"]:
        words = " ".join([n["consequence"], *n["avoidance"]])
        parts.append(f"<p><b><span class=word>{n['signal'].upper()}</span> {e(n['hazard'])}</b> {e(words)}</p>")
    parts += [f"<p><b>{e(point['found'])}</b> {e(point['do'])}</p>" for point in d["attentions"]]
    parts += [f"<p><b>{e(c['symptom'])}</b> {e(c['question'])} {e(c['check'])}</p>" for c in d["checks"]]
    heads = ["Date", "Stages on", "Inlet", "Outlet", "Flow", "Volts", "Amps", "Initials"]
    readings = _table(heads, [[""] * len(heads)] * d["reading_rows"])
    return f"<div class=two>{''.join(parts)}</div>{readings}<p>{e(d['basis'])} {e(d['deferral'])}</p>"


def _cell(item: dict[str, Any]) -> str:
    return " ".join(chain.from_iterable(item["parts"])) or item["state"]


def _table(heads: Any, rows: list[list[str]], kind: str = "") -> str:
    cells = partial("".join)
    body = cells(f"<tr>{cells(f'<td class={kind!r}>{html.escape(cell)}' for cell in row)}" for row in rows)
    return f"<table><thead><tr>{cells(f'<th scope=col>{html.escape(head)}' for head in heads)}</thead>{body}</table>"


if __name__ == "__main__":
    main()
