"""Cards a second, in print through Typst, against the same content through HTML and an HTML-to-PDF library.

A thousand different sites made from the demo data; every card is printed to its own file, PDF/UA-1, on all cores. The
other way prints a sample of the same cards (it is slow) on as many processes, also tagged, from plain HTML with the
same texts and fonts. What the sites' figures are is worked out before and not timed. Then processor time alone, which
says the same on a machine that does other things too: of a card, of Typst alone on what it is given, and of a card that
is printed already. `bench_cards.py 100` prints a hundred.
"""

from __future__ import annotations

import html
import json
import os
import sys
import tempfile
import time
from collections.abc import Iterator
from concurrent.futures import ProcessPoolExecutor
from dataclasses import replace
from functools import cache, partial
from multiprocessing import get_context
from pathlib import Path
from typing import Any

from recorded import Measured, cpu_ms_each, cpu_s
from weasyprint import CSS, HTML
from weasyprint.text.fonts import FontConfiguration

from generator.build import load
from generator.folders import Folders
from generator.model.documents.card import Card
from generator.render.card.batch import Job, render_cards
from generator.render.card.pdf import TEMPLATE, Printing, document
from generator.render.card.shape import PrintTexts
from generator.render.card.texts import print_texts
from generator.render.kept_prints import kept_prints
from generator.render.typesetter import Typesetter
from generator.site_cards import cards_of

ROOT = Path(__file__).parents[2]
sys.path.insert(0, str(ROOT))
from tests.print.random_sites import random_views  # noqa: E402  run as a script, the folder of tests is not known
from tests.styles import BOTH  # noqa: E402

CARDS, SAMPLE, RUNS = next((int(word) for word in sys.argv[1:] if word.isdecimal()), 1000), 30, 3
PRINTING = Printing(ROOT / "content" / "print", "letter", BOTH)
STYLE = """
@font-face { font-family: Card; src: url(FiraSansCondensed-Regular.ttf); }
@font-face { font-family: Card; font-weight: bold; src: url(FiraSansCondensed-Bold.ttf); }
@page { size: letter; margin: 24pt } body { font: 11pt/13pt Card } h1 { font-size: 19pt }
h2 { font-size: 13pt; margin: 0 } p, ol { margin: 2pt 0 }
.back { break-before: page } .big { font: bold 24pt Card } table { border-collapse: collapse; width: 100% }
td, th { border-top: 0.4pt solid; padding: 1pt } svg { float: right; width: 56pt; height: 56pt }
.box { border: 2pt solid; padding: 4pt }
"""


def main() -> None:
    """Print what was measured."""
    processes = os.cpu_count() or 1
    cards = list(_cards())
    with tempfile.TemporaryDirectory() as name:
        ours = [_ours(cards, Path(name) / str(run)) for run in range(RUNS)]
        used = [1e3 * cpu_s(lambda: _ours(cards, Path(name) / "used")) / CARDS]
        again = [1e3 * cpu_s(lambda: _ours(cards, Path(name) / "used", "unchanged")) / CARDS for _ in range(RUNS)]
    alone = _alone(cards[:SAMPLE])
    theirs = _html_way(cards[:SAMPLE], processes)
    with Measured(__file__) as measured:
        print(f"  {CARDS} different cards, one file each, {processes} processes")
        median = measured.report("through Typst", ours, "cards a second")
        measured.report(f"through HTML, {SAMPLE} of the same cards", [theirs], "cards a second")
        measured.report("Typst is faster by", [median / theirs], "times")
        card = measured.report("processor time of a card", used, "ms")
        measured.report(f"of Typst alone, {SAMPLE} of the same cards", [alone], "ms")
        measured.report("a card takes of Typst alone", [card / alone], "times")
        measured.report("processor time of a card that is printed already", again, "ms")


def _cards() -> Iterator[Card]:
    loaded = load(Folders(ROOT))
    for settings, view in random_views(loaded.inputs, 1, CARDS):
        book = replace(loaded.book, settings=settings, sites=(view,))
        yield from cards_of(ROOT / "content", book, loaded.notices).values()


def _ours(cards: list[Card], folder: Path, state: str = "written") -> float:
    jobs = [Job(one, folder / f"{one.head.site_id}.pdf") for one in cards]
    start = time.perf_counter()
    outcomes = render_cards(jobs, PRINTING, kept=kept_prints(folder, folder, PRINTING.folder))
    seconds = time.perf_counter() - start
    failed = [outcome.wrong for outcome in outcomes if outcome.state != state]
    assert not failed, failed[:3]
    return len(cards) / seconds


def _alone(cards: list[Card]) -> float:
    """Return the processor time [ms] of Typst for one of the cards, those before it as warm as in a long run."""
    setter, data = Typesetter(PRINTING.folder, TEMPLATE), [document([one], PRINTING) for one in cards]
    drawn = json.loads(json.dumps(data, default=lambda part: part.svg()))
    (all_,) = cpu_ms_each(lambda: [setter.pdf("a card", one, 0, pages=2) for one in drawn], runs=1)
    return all_ / len(cards)


def _html_way(cards: list[Card], processes: int) -> float:
    with ProcessPoolExecutor(processes, mp_context=get_context("spawn")) as pool:
        list(pool.map(_html_card, cards[:processes]))  # start the processes and read the fonts before the clock starts
        start = time.perf_counter()
        sizes = list(pool.map(_html_card, cards))
        assert all(sizes)
        return len(cards) / (time.perf_counter() - start)


def _html_card(one: Card) -> int:
    page = HTML(string=_page(print_texts(one, PRINTING.style)), base_url=str(PRINTING.folder / "fonts" / "x"))
    return len(page.write_pdf(stylesheets=[_style()], font_config=_fonts(), pdf_variant="pdf/ua-1", pdf_tags=True))


@cache
def _fonts() -> FontConfiguration:
    return FontConfiguration()


@cache
def _style() -> CSS:
    """Read once in each process, as the templates of the other way are."""
    return CSS(string=STYLE, base_url=str(PRINTING.folder / "fonts" / "x"), font_config=_fonts())


def _page(d: PrintTexts) -> str:
    h, e = d["head"], html.escape
    qr = d["qr"].svg() if d["qr"] else ""
    front = [f"<h1>{e(h['site'])}</h1>{qr}<p>{e(h['heater'])} {e(h['publisher'])} {d['code']} {h['date']}</p>"]
    front.append(f"<div class=box><b class=big>{e(d['status']['words'])}</b></div>")
    sizes = [
        [circuit["device"], circuit["poles"], circuit["conductor"], circuit["ground"]] for circuit in d["circuits"]
    ]
    front.append(_table(("Breaker", "Poles", "Wire", "Ground"), sizes, "big"))
    front.append(f"<p>{e(', '.join(text for fact in d['facts'].values() for text in fact))}</p>")
    if water := d["water"]:
        front.append(f"<p class=big>{e(' '.join([*(water['flow'] or ()), *water['hottest'], d['limit']]))}</p>")
        rows = [[r["flow"], r["stages"], r["winter"], r["summer"], r["mark"]] for r in water["heat"]]
        front.append(_table(("flow", "on", "winter", "summer", ""), rows))
    front += [f"<p class=box><b>{n['signal'].upper()}</b> {e(n['text'])}</p>" for n in d["notices"]]
    start = f"<html lang=en><head><title>{e(h['site'])}</title></head><body>"
    return f"{start}{''.join(front)}{_back(d)}</body></html>"


def _back(d: PrintTexts) -> str:
    e = html.escape
    parts = ["<div class=back>"]
    for part in d["parts"]:
        parts.append(f"<h2>{e(part['title'])} {e(part['who'])}</h2>")
        parts.append(_table(("", "Expected", "Read", "Pass"), [[*row, "", ""] for row in part["rows"]]))
    if water := d["water"]:
        stages = [[s["number"], s["feed"], *s["amps"], s["rise"]] for s in water["stages"]]
        parts.append(_table(("Stage", "Circuit", "Amps", "Outlet"), stages))
        parts.append(_table(water["allowed"]["volts"], water["allowed"]["rows"]) if water["allowed"] else "")
    parts += [f"<p><b>{e(stop['title'])}</b> {e(stop['found'])} {e(stop['do'])}</p>" for stop in d["stops"]]
    parts += [f"<p><b>{e(name)}</b> {e(text)}</p>" for name, text in d["lines"]]
    return f"{''.join(parts)}<p>{e(d['basis'])}</p></div>"


def _table(heads: Any, rows: list[list[str]], kind: str = "") -> str:
    cells = partial("".join)
    body = cells(f"<tr>{cells(f'<td class={kind!r}>{html.escape(cell)}' for cell in row)}" for row in rows)
    return f"<table><thead><tr>{cells(f'<th scope=col>{html.escape(head)}' for head in heads)}</thead>{body}</table>"


if __name__ == "__main__":
    main()
