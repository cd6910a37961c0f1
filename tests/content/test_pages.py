"""The demo handbook's pages as rendered: what a reader must find is there, and none goes out without its warnings."""

import re
import shutil
from html import unescape
from pathlib import Path

import pytest

from generator.build import Loaded, load
from generator.errors import PageFault
from generator.model.figures import Value
from generator.render.format import show
from generator.render.pages.write import Rendered, render_pages
from tests.compute.wet_cases import BURNS, PIPES
from tests.content.writing import PAGES, templates
from tests.frozen import ROOT, copied
from tests.styles import BOTH


@pytest.fixture(scope="module")
def pages(rendered: tuple[Rendered, ...]) -> dict[str, str]:
    return {one.page.id: one.text for one in rendered}


def test_every_page_shows_its_notices_with_their_reasons_filled(loaded: Loaded, pages: dict[str, str]) -> None:
    for page, notices in loaded.book.notices.items():
        for active in notices:
            assert f'data-notice="{active.notice.id}"' in pages[page], (page, active.notice.id)
    data = re.compile(r'<script type="application/json".*?</script>', re.DOTALL)  # what a page's own script reads
    assert not [
        page
        for page, text in pages.items()
        if re.search(r"\{\{|\{%|>\{|\{(site|model|hottest|voltage)\}", data.sub("", text))
    ]


def test_the_scald_notice_says_how_hot_it_can_get(pages: dict[str, str]) -> None:
    reason = re.search(r'data-notice="scald".*?class="because">(.*?)</', pages["sites/bunkhouse"], re.DOTALL)
    assert reason
    assert re.fullmatch(r"Water at \d+\u00a0°F is possible at Bunkhouse shower; .+", reason[1].strip())


@pytest.mark.parametrize("words", ["Won&#39;t turn on", "8\u00a0AWG", "422.11", "tankless", "GFCI", "live-dead-live"])
def test_what_people_search_for_stands_on_some_page(pages: dict[str, str], words: str) -> None:
    assert [page for page, text in pages.items() if words.lower() in text.lower()]


def test_every_site_and_every_model_stands_on_the_pages_of_the_work(loaded: Loaded, pages: dict[str, str]) -> None:
    for view in loaded.book.sites:
        assert view.spec.title in pages["installation/electrical"]
        assert view.spec.title in pages["expected-temperatures"]
    for model in loaded.book.models:
        for page in ("installation/plumbing", "installation/electrical", "installation/first-start", "adjusting"):
            assert model.spec.title in pages[page]


@pytest.mark.parametrize("template", ["adjusting", "_symptom", "_site", "_model", "installation/electrical"])
def test_a_page_that_lacks_a_warning_is_not_published(loaded: Loaded, tmp_path: Path, template: str) -> None:
    content = tmp_path / "content"
    shutil.copytree(ROOT / "content", content)
    page = content / "pages" / f"{template}.md.j2"
    text, removed = re.subn(r"\{\{ (page_notices|section|guards)\(.*?\) \}\}", "", page.read_text(encoding="utf-8"))
    assert removed
    page.write_text(text, encoding="utf-8")
    with pytest.raises(PageFault, match="the page lacks safety notices that apply to it: [a-z]"):
        render_pages(content, loaded.book)


def without_findings(page: str) -> str:
    return page.partition("## Findings")[0]


def test_a_site_with_a_stop_says_so_before_anything_that_invites_to_a_start(
    loaded: Loaded, pages: dict[str, str]
) -> None:
    stopped = [view for view in loaded.book.sites if view.stays_off]
    ready = [view for view in loaded.book.sites if not view.stays_off]
    assert stopped and ready
    for view in stopped:
        page = pages[f"sites/{view.spec.id}/details"]
        assert page.index("Do not switch on") < page.index('<dl class="card">')
        head = page[page.index('<dl class="card">') : page.index("</dl>")]
        assert ">do not switch on</a>" in head
        for section in ("Expected temperatures", "Flow window", "Stages", "Circuit A"):
            _, _, body = page.partition(f"\n## {section}\n")
            assert body.index("Do not switch on") < body.index("<table"), section
        for name in ("installation/first-start", "commissioning", "adjusting"):
            warned, _, _ = pages[name].partition("\n1. ")
            assert f">{view.spec.title}</a>" in warned.partition("Do not switch on at these sites")[2], name
    for view in ready:
        assert "Do not switch on" not in pages[f"sites/{view.spec.id}/details"]


def test_at_a_supply_that_does_not_fit_no_window_outlet_or_current_is_shown(tmp_path: Path) -> None:
    folders = copied(tmp_path)
    site = tmp_path / "site_data" / "sites" / "potting-shed.yaml"
    text, changed = re.subn(r"voltage: 120 V", "voltage: 240 V", site.read_text(encoding="utf-8"))
    assert changed == 1
    site.write_text(text, encoding="utf-8")
    book = load(folders).book
    page = next(one.text for one in render_pages(ROOT / "content", book) if one.page.id == "sites/potting-shed/details")
    assert "The supply is 240" in page
    shown = without_findings(page)
    assert not [words for words in ("window by stages", "Outlet", "all supplies together", "clamp") if words in shown]
    assert re.findall(r"\d\u00a0A\b", shown.partition("## Circuit A")[2]) == []


def task_values(pages: dict[str, str], site: str, task: str) -> str:
    """What the page of a site's details says to expect in one task."""
    found = pages[f"sites/{site}/details"].partition(f'<p id="{task}">')[2].partition("</details>")[0]
    assert found
    return found


def _clamp_columns(body: str) -> list[str]:
    """The supplies whose currents a page lists, in order: as columns, or each with a table of L1, L2 and L3."""
    by_line = r"<caption><span>[^<]*, supply (\w+)</span></caption>\s*<thead><tr>.*?>L1</th>.*?>L2</th>.*?>L3</th>"
    found = re.findall(rf'<th scope="col">supply (\w+)</th>|{by_line}', body)
    return [column or table for column, table in found]


def test_the_clamp_of_each_supply_has_its_own_column_or_table(loaded: Loaded, pages: dict[str, str]) -> None:
    for view in loaded.book.sites:
        body = task_values(pages, view.spec.id, "start")
        columns = _clamp_columns(body)
        assert columns == ([] if view.stays_off else [one.name for one in view.result.circuits])
    for model in loaded.book.models:
        feeds = [feed.name for feed in model.spec.electrical.feeds]
        elements, _, circuits = pages[f"models/{model.spec.id}/details"].partition("## Circuits")
        assert _clamp_columns(circuits) == feeds * len(model.spec.ratings)
        assert (f"all {len(feeds)} supplies together" in elements) == (len(feeds) > 1)
        for rating in model.spec.ratings:
            at = show(Value("", rating.voltage_v, "voltage"), BOTH)
            assert circuits.replace("\u00a0", " ").count(f"circuit {feeds[0]} at {at}, ".replace("\u00a0", " ")) > 0


def test_the_currents_of_lines_across_pairs_are_listed_line_by_line(loaded: Loaded, pages: dict[str, str]) -> None:
    view = next(view for view in loaded.book.sites if view.spec.id == "creamery")
    for body in (task_values(pages, "creamery", "start"), pages["sites/creamery/details"].partition("## Circuit A")[2]):
        for circuit in view.result.circuits:
            assert circuit.lines == ("L1", "L2", "L3")
            table = next(part for part in body.split("<table") if f", supply {circuit.name}</span>" in part)
            for number, row in enumerate(circuit.line_currents, 1):
                cells = next(line for line in table.splitlines() if f'<th scope="row">{number}</th>' in line)
                shown = re.findall(r"<td>(?:<details[^>]*><summary>)?([\d.]+)\u00a0A", cells)
                assert shown == [show(one, BOTH).partition("\u00a0")[0] for one in row]
    for page in ("installation/meter", "fault-finding/element-figures", "sites/creamery/details"):
        assert "may leave the current of one line as it was" in " ".join(pages[page].split())
    assert not [page for page, text in pages.items() if re.search(r"current must rise", text)]


def test_what_is_to_be_built_is_said_with_its_metal_and_its_way_and_not_on_a_stopped_site(
    loaded: Loaded, pages: dict[str, str]
) -> None:
    for view in loaded.book.sites:
        head = pages[f"sites/{view.spec.id}/details"].partition("</dl>")[0]
        body = task_values(pages, view.spec.id, "circuit").replace("\u00a0", " ")
        route = view.spec.route
        wire, way = f"{route.conductor} {route.insulation}", view.basis.methods.methods[route.method].title
        assert wire in head.replace("\u00a0", " ") and way in head.replace("\u00a0", " ")
        assert ("severity stop" in head) == bool(view.stays_off)
        assert (wire in body and way in body) == (not view.stays_off)


def test_where_the_device_stands_agrees_with_its_poles(loaded: Loaded, pages: dict[str, str]) -> None:
    said = {1: "the breaker is in the line<", 2: "one breaker opens line and neutral together"}
    seen = set()
    for model in loaded.book.models:
        if model.spec.electrical.neutral_needed:
            (poles,) = {circuit.poles.value for circuit in model.result.circuits}
            body = pages[f"models/{model.spec.id}"]
            assert [poles] == [number for number, words in said.items() if words in body]
            seen.add(poles)
    assert seen == {1, 2}, "the demo has a heater of each kind"


def test_a_page_with_a_figure_of_the_specification_defers_too(pages: dict[str, str]) -> None:
    """The build refuses a computed figure without the deferral; a pressure of the nameplate needs it as much."""
    for path in templates():
        name = path.relative_to(PAGES).as_posix().removesuffix(".md.j2")
        if "{{ quantity(" in path.read_text(encoding="utf-8") and name in pages:
            assert 'class="deferral"' in pages[name], name


def test_every_row_of_every_burn_table_stands_on_the_safety_page(pages: dict[str, str]) -> None:
    text = pages["safety"].replace("\u00a0", " ")
    for table in BURNS:
        body = text.partition(f"<caption><span>{table.source}")[2].partition("</table>")[0]
        assert body.count('<tr><th scope="row">') == len(table.burns)
        for row in table.burns:
            assert f"{row.temperature_k * 1.8 - 459.67:.0f} °F" in body and f"<td>{row.qualifier}</td>" in body
        assert table.obtained in text


def test_every_list_of_steps_begins_after_an_empty_line(pages: dict[str, str]) -> None:
    """Markdown runs steps that follow a line of text into that line."""
    for name, text in pages.items():
        lines = text.splitlines()
        joined = [lines[at - 1] for at, line in enumerate(lines) if line.startswith("1. ") and lines[at - 1].strip()]
        assert not joined, (name, joined)


def test_the_least_insulation_is_read_in_megohms_where_an_element_is_tested(pages: dict[str, str]) -> None:
    for name in ("ground-fault-trips", "tingle", "breaker-trips", "shipping-water", "element-figures"):
        text = pages[f"fault-finding/{name}"].replace("\u00a0", " ")
        assert re.search(r"at least\s+(\*\*)?1 MΩ(\*\*)?\. Between that and 0\.5 MΩ", text), name
        assert "Below 0.5 MΩ, replace it" in text and 'data-notice="insulation-tester"' in text, name


def test_the_sources_tell_what_each_table_was_compared_with(loaded: Loaded, pages: dict[str, str]) -> None:
    cells = re.sub(r"</t[hd]><td[^>]*>", "| ", re.sub(r"<tr><th[^>]*>", "| ", pages["sources"]))
    lines = unescape(cells).replace("</td></tr>", "|").replace("\u00a0", " ").splitlines()
    groups = [basis.tables.values() for basis in loaded.book.codes.values()]
    for group in (*groups, PIPES.tables, BURNS):
        for table in group:
            if not table.compared:
                assert any(f"| {table.source}| " in line and line.endswith("| none yet|") for line in lines)
                continue
            title = table.title.replace("degC", "°C")
            row = next(line for line in lines if line.startswith(f"| {title}| {table.source}| "))
            differ = sum(one.differ for one in table.compared)
            shown = re.search(r"\| (\d+) \((\d+) cells, (\w+) differs?\)\|$", row)
            assert shown, row
            assert int(shown[1]) == len(table.compared)
            assert int(shown[2]) == sum(one.cells for one in table.compared)
            assert shown[3] == (str(differ) if differ else "none")
            for one in table.compared:
                told = [line for line in lines if f", {one.differ} of {one.cells} cells: " in line]
                assert bool(told) == bool(one.differ)
