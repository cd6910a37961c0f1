"""The pocket page: one file that works alone, refuses as the files do, and whose readings `handbook receive` takes."""

import datetime
import io
import re
from collections import Counter
from collections.abc import Iterator
from html import unescape
from pathlib import Path
from typing import Any, get_args

import pytest
from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import Browser, Page, expect
from pydantic_core import PydanticCustomError
from pypdf import PdfReader

from generator.build import Loaded
from generator.model.quantity import QuantityField
from generator.model.register.installed import SentReading
from generator.read.installed import read_installed
from generator.read.sent import sent_text
from generator.register import received
from generator.render.pages.calculator import FIELDS
from generator.render.pages.write import Rendered
from tests.browser.pocket import write_pocket_pages
from tests.browser.test_accessibility import RULES
from tests.browser.test_offline import LOADS
from tests.frozen import ROOT

pytestmark = pytest.mark.browser

MOST_BYTES = 300_000
RUNS, STOPPED = ("creamery", "packing-house", "potting-shed", "seedling-house"), ("bunkhouse", "farm-stand")
DAY = datetime.date(2026, 11, 27)
TEXTS = """57|57 degF|57.0 degF|+57 degF|-5 degF|057 degF|31.9 degF|32 degF|212 degF|212.1 degF|100 degC|0 degC|57 °F
57degF|57  degF|57 degf|57 F|57 K|1e2 degF|1,5 gpm|.5 gpm|5. gpm|0.05 gpm|0.049 gpm|60 gpm|60.1 gpm|1.40 gpm|5.3 L/min
0.1 L/s|1.4 GPM|1.4 gpm |  1.4 gpm|0 gpm|0 gal|0.01 gal|10 gal|10.1 gal|4 L|900 mL|1 V|0 V|1000 V|1000.5 V|239 V|0.24 kV
43 s|0 s|1 min|24 h|25 h|0.5 ms|nan s|inf degF|infinity V|NaN degF|0x10 V|١ V|fifty V|57 degF degF|57 delta_degF|10 A
20 psi|9.6 kW|12 AWG||""".replace("\n", "|").split("|")


@pytest.fixture(scope="module")
def pocket(rendered: tuple[Rendered, ...], tmp_path_factory: pytest.TempPathFactory) -> Path:
    return write_pocket_pages(tmp_path_factory.mktemp("pocket"), rendered)


@pytest.fixture
def phone(browser: Browser) -> Iterator[Page]:
    opened = browser.new_page(viewport={"width": 390, "height": 844})
    yield opened
    opened.close()


def worked(page: Page, pocket: Path, **fields: str) -> None:
    """Open packing-house, fill in the form and send it off. Packing-house: one feed, two lines, four stages."""
    page.goto("about:blank")  # so that the next is a page opened anew
    page.goto(f"{(pocket / 'packing-house.html').as_uri()}#calculator")
    given = {"inlet": "57", "flow": "1.40", "volts L1-L2": "239", "outlet": "103"} | fields
    for name, text in given.items():
        page.locator(f'[name="{name}"]').fill(text)
    page.get_by_role("button", name="Work it out").click()


def test_each_is_one_file_of_bounded_size_that_loads_nothing(pocket: Path, phone: Page, loaded: Loaded) -> None:
    assert {path.stem for path in pocket.glob("*")} == {site.id for site in loaded.inputs.sites}
    asked: list[str] = []
    said: list[str] = []
    phone.on("request", lambda request: asked.append(request.url))
    phone.on("console", lambda message: said.append(message.text))
    phone.on("pageerror", lambda error: said.append(str(error)))
    for path in sorted(pocket.glob("*.html")):
        assert path.stat().st_size <= MOST_BYTES, path.name
        assert not LOADS.search(path.read_text(encoding="utf-8"))
        asked.clear()
        phone.goto(path.as_uri())
        assert [url for url in asked if not url.startswith("data:")] == [path.as_uri()]
    assert said == []


def test_no_id_stands_twice_and_every_place_that_is_led_to_is_there(pocket: Path) -> None:
    for path in pocket.glob("*.html"):
        text = path.read_text(encoding="utf-8")
        ids = Counter(re.findall(r'<[^<>]*\sid="([^"]+)"', text))
        assert {name for name, times in ids.items() if times > 1} == set()
        led = set(re.findall(r'href="#([^"]+)"', text))
        assert led and {unescape(name) for name in led} - set(ids) == set(), path.name
        named = re.findall(r'\s(?:aria-labelledby|aria-describedby|for)="([^"]+)"', text)
        assert {one for names in named for one in names.split()} - set(ids) == set(), path.name


def test_it_has_the_styles_that_the_other_pages_have(rendered: tuple[Rendered, ...]) -> None:
    config = (ROOT / "mkdocs.yml").read_text(encoding="utf-8")
    named = re.findall(r"^  - assets/(\S+\.css)$", config, re.MULTILINE)
    page = next(one.text for one in rendered if one.page.part == "pocket")
    assert named and set(named) <= set(re.findall(r'<link rel="stylesheet" href="\.\./assets/([^"]+)">', page))


def test_what_its_scripts_make_has_its_styles(pocket: Path) -> None:
    """Rules that no page and no script needs are left out: those of classes that only scripts set are not."""
    page = (pocket / "packing-house.html").read_text(encoding="utf-8")
    style = "".join(re.findall(r"<style>(.*?)</style>", page))
    assert ".refused{" in style and ".told{" in style and "#answer .big{" in style and ".plain-table" in style
    assert "dl.card" not in style and "figure.drawn" not in style


def test_links_out_of_it_lead_to_pages_of_the_handbook(pocket: Path, rendered: tuple[Rendered, ...]) -> None:
    known = {f"../{one.page.id}.html" for one in rendered}
    for path in pocket.glob("*.html"):
        out = {one.partition("#")[0] for one in re.findall(r'\shref="([^"#][^"]*)"', path.read_text(encoding="utf-8"))}
        assert {one for one in out if not re.match(r"[a-z]+:", one)} - known == set()


@pytest.mark.parametrize("site", [*RUNS, *STOPPED])
def test_it_says_what_the_pages_of_the_site_say(pocket: Path, rendered: tuple[Rendered, ...], site: str) -> None:
    """All text of the site's page and of its faults, word for word, and of no other site."""
    whole = words(pocket.joinpath(f"{site}.html").read_text(encoding="utf-8"))
    titles = {one.page.id: one.page.title for one in rendered if one.page.kind == "site" and not one.page.part}
    for id_ in (f"sites/{site}", f"sites/{site}/faults"):
        text = next(one.text for one in rendered if one.page.id == id_)
        own = re.sub(r'<p class="(page-code|moved)">.*?</p>|<style>.*?</style>', "", text)
        lines = [words(line) for line in own.splitlines()]
        lacking = [line for line in lines if line and line not in whole]
        assert len(lines) > 100 and lacking == [], lacking[:3]
    others = {title for id_, title in titles.items() if id_ != f"sites/{site}"}
    assert {title for title in others if words(title) in whole} == set()


def words(text: str) -> str:
    """A text without its markup and signs of Markdown, every run of spaces one."""
    return " ".join(unescape(re.sub(r"^# |<[^>]*>", " ", text)).split())


def test_every_part_is_a_fold_but_what_must_be_seen_first(pocket: Path, phone: Page) -> None:
    for path in sorted(pocket.glob("*.html")):
        phone.goto(path.as_uri())
        folds = phone.evaluate("[...document.querySelectorAll('details.part')].map(one => [one.id, one.open])")
        assert [name for name, _ in folds[:7]] == ["wire", "water", "heat", "start", "faults", "checks", "calculator"]
        assert len(folds) == 14 and not any(open_ for _, open_ in folds), path.name
        assert phone.locator(".verdict, .tiles, .deferral").filter(visible=True).count() >= 3
        assert phone.locator("#clear + ol").filter(visible=True).count() == (path.stem in STOPPED)


def test_what_can_kill_there_is_in_sight_before_its_figures(
    pocket: Path, phone: Page, loaded: Loaded, rendered: tuple[Rendered, ...]
) -> None:
    """In a line each on the first screen, with every fold closed: the notices that the site's page has as panels."""
    pages = {one.page.id: one.text for one in rendered}
    for site in (*RUNS, *STOPPED):
        due = [
            notice
            for notice in loaded.notices
            if notice.appears.get("site") == "section" and f'data-notice="{notice.id}"' in pages[f"sites/{site}"]
        ]
        assert {"live-parts", "scald"} <= {notice.id for notice in due}
        phone.goto((pocket / f"{site}.html").as_uri())
        figures = phone.locator(".tiles").first.bounding_box()
        assert figures
        for notice in due:
            line = phone.get_by_text(notice.brief.line).filter(visible=True)
            assert line.count() == 1, (site, notice.id)
            box, held = line.bounding_box(), line.locator("xpath=ancestor-or-self::*[contains(@class, 'guard')]")
            assert box and box["y"] + box["height"] <= min(figures["y"], 844), (site, notice.id)
            assert held.inner_text().startswith(notice.signal.upper()), (site, notice.id)


@pytest.mark.parametrize("way", ["address", "link", "again"])
def test_what_is_led_to_is_opened_and_seen(pocket: Path, phone: Page, way: str) -> None:
    address, place = (pocket / "packing-house.html").as_uri(), "#faults-page-too-hot"
    phone.goto(f"{address}{place}" if way == "address" else f"{address}#faults")
    if way != "address":
        phone.locator(f'a[href="{place}"]').first.click()
    if way == "again":  # the address stays as it was: the browser itself would lead nowhere
        phone.evaluate("document.querySelectorAll('details').forEach(fold => (fold.open = false))")
        phone.locator("#faults > summary").click()
        phone.locator(f'a[href="{place}"]').first.click()
    assert phone.evaluate("place => document.querySelector(place).open", place)
    box = phone.locator(f"{place} > summary").bounding_box()
    assert box and 40 <= box["y"] <= 500


def test_paper_has_every_fold_open_and_the_screen_as_it_was(pocket: Path, phone: Page) -> None:
    phone.goto((pocket / "packing-house.html").as_uri())
    closed = "document.querySelectorAll('details:not([open])').length"
    before = phone.evaluate(closed)
    phone.evaluate("dispatchEvent(new Event('beforeprint'))")
    assert phone.evaluate(closed) == 0 < before
    phone.evaluate("dispatchEvent(new Event('afterprint'))")
    assert phone.evaluate(closed) == before
    phone.add_init_script("addEventListener('beforeprint', event => event.stopImmediatePropagation(), true)")
    phone.reload()  # without a script the style sheet alone opens them
    text = " ".join(" ".join(sheet.extract_text() for sheet in PdfReader(io.BytesIO(phone.pdf())).pages).split())
    assert all(part in text for part in ("Cable", "Lock out and prove dead", "No current without")), text[:500]
    assert phone.locator("#calculator-form").count() == 1 and "Work it out" not in text


@pytest.mark.parametrize("site", STOPPED)
def test_a_stopped_site_says_stop_first_and_works_nothing_out(pocket: Path, phone: Page, site: str) -> None:
    phone.goto((pocket / f"{site}.html").as_uri())
    first = phone.locator("main .verdict").first
    expect(first).to_contain_text("STOP")
    above = phone.evaluate(
        """() => [...document.querySelectorAll("main *")].findIndex(one => one.matches(".verdict"))"""
    )
    assert above < 25 and first.bounding_box()["y"] < 400  # type: ignore[index]
    assert phone.locator("#calculator-form, #calculator-data, #answer").count() == 0
    expect(phone.locator("#calculator")).to_contain_text("STOP: nothing is worked out")


@pytest.mark.parametrize("name", FIELDS)
def test_a_quantity_is_refused_in_the_words_of_the_files_reader(pocket: Path, phone: Page, name: str) -> None:
    phone.goto((pocket / "packing-house.html").as_uri())
    field: QuantityField = get_args(FIELDS[name])[1]
    found = phone.evaluate(
        """([name, texts]) => {
            const data = JSON.parse(document.getElementById("calculator-data").textContent);
            return texts.map(text => quantity.parse(text, data.fields[name], data.kinds));
        }""",
        [name, TEXTS],
    )
    taken = 0
    for text, answer in zip(TEXTS, found, strict=True):
        try:
            value = field.parse(text)
        except PydanticCustomError as refused:
            assert answer.get("fault") == refused.context, text
        else:
            taken += 1
            assert answer["value"] == pytest.approx(value, rel=1e-15), text
    assert taken >= 3


PLAUSIBLE = {
    "the flow is not stated once": {"volume": "1", "time": "43"},
    "nothing is written": {"inlet": ""},
    "'fifty' is not a decimal number": {"inlet": "fifty"},
    "write a flow in gpm, L/min or L/s, from 0.05 gpm to 60 gpm": {"flow": "70"},
    "stage 4 cannot be on below 1.05": {"flow": "1.04"},
    "no such heater runs on these volts; from 120": {"volts L1-L2": "20"},
    "colder than the inlet": {"outlet": "56"},
    "no cooler than the cut-out of 150": {"inlet": "151", "outlet": ""},
    "in no time": {"flow": "", "volume": "1", "time": "0"},
}


@pytest.mark.parametrize("said", PLAUSIBLE)
def test_what_cannot_be_is_refused_and_what_would_be_right_is_said(pocket: Path, phone: Page, said: str) -> None:
    worked(phone, pocket, **PLAUSIBLE[said])
    expect(phone.locator("#refused")).to_contain_text(said)
    expect(phone.locator("#answer")).to_be_empty()
    expect(phone.locator("#keep")).to_be_disabled()
    assert phone.evaluate("document.activeElement.getAttribute('aria-invalid')") == "true"
    phone.locator("[name=inlet]").fill("57")


def test_volts_that_no_three_lines_have_are_refused(pocket: Path, phone: Page) -> None:
    """208, 208 and 120 V are sides of a triangle; 290, 140 and 140 V, none beyond what a heater runs on, are not."""
    phone.goto(f"{(pocket / 'creamery.html').as_uri()}#calculator")
    said = []
    for volts in (("208", "208", "120"), ("290", "140", "140")):
        names = ("inlet", "flow", "volts L1-L2", "volts L2-L3", "volts L3-L1")
        for name, text in zip(names, ("57", "2.2", *volts), strict=True):
            phone.locator(f'[name="{name}"]').fill(text)
        phone.get_by_role("button", name="Work it out").click()
        said.append(phone.locator("#refused").inner_text())
    assert said[0] == "" and "no three lines have such volts" in said[1]


def test_what_is_unusual_is_told_beside_the_answer(pocket: Path, phone: Page) -> None:
    worked(phone, pocket, **{"volts L1-L2": "260", "inlet": "90", "outlet": ""})
    assert phone.locator("#answer .told").count() == 2
    expect(phone.locator("#answer")).to_contain_text("supply in service")


def test_an_answer_is_what_was_worked_by_hand(pocket: Path, phone: Page) -> None:
    """9.6 kW at 240 V is 9.52 kW at 239 V, 39.83 A (Ohm and Joule, by hand). 1.40 gpm weigh 88.3 g/s; at 4.19 kJ/(kg K)
    9.52 kW warm them by 25.7 K, 46.3 degF, from 57 to 103 degF (properties of water: handbook value, from memory)."""
    worked(phone, pocket)
    text = phone.locator("#answer").inner_text()
    assert "103\u00a0°F at the outlet" in text and "39.8\u00a0A" in text and "9.52\u00a0kW of the nameplate" in text
    assert "99\u00a0°F to 105\u00a0°F" in text
    by_bucket = {"flow": "", "volume": "1", "time": "42.857"}
    worked(phone, pocket, **by_bucket)
    assert phone.locator("#answer").inner_text() == text


def test_it_is_used_with_the_keyboard_alone(pocket: Path, phone: Page) -> None:
    phone.goto(f"{(pocket / 'packing-house.html').as_uri()}#calculator")
    phone.locator("[name=inlet]").focus()
    phone.keyboard.type("14")
    phone.keyboard.press("Tab")
    phone.keyboard.press("ArrowDown")
    phone.keyboard.press("Tab")
    phone.keyboard.type("1.4")
    phone.keyboard.press("Enter")
    expect(phone.locator("#answer")).to_contain_text("at the outlet")
    expect(phone.locator("#answer")).to_have_attribute("aria-live", "polite")


def test_readings_stay_in_the_browser_until_they_are_removed(pocket: Path, phone: Page) -> None:
    worked(phone, pocket)
    phone.get_by_role("button", name="Keep this reading").click()
    phone.reload()
    assert phone.locator("#kept-list li").count() == 1
    expect(phone.locator("#not-lasting")).to_be_hidden()
    phone.goto((pocket / "creamery.html").as_uri())
    expect(phone.locator("#kept")).to_have_attribute("hidden", "")
    phone.goto(f"{(pocket / 'packing-house.html').as_uri()}#calculator")
    phone.locator("#kept-list button").click()
    expect(phone.locator("#kept")).to_have_attribute("hidden", "")
    phone.reload()
    expect(phone.locator("#kept")).to_have_attribute("hidden", "")


def test_a_browser_that_keeps_nothing_says_so(pocket: Path, phone: Page) -> None:
    phone.add_init_script("Storage.prototype.setItem = () => { throw new Error('none') }")
    worked(phone, pocket)
    phone.get_by_role("button", name="Keep this reading").click()
    expect(phone.locator("#not-lasting")).to_be_visible()
    expect(phone.locator("#kept-lines")).to_have_value(re.compile("^reading packing-house "))


@pytest.mark.parametrize("way", ["text", "file", "code"])
def test_readings_leave_it_as_receive_takes_them(pocket: Path, phone: Page, tmp_path: Path, way: str) -> None:
    worked(phone, pocket)
    phone.get_by_role("button", name="Keep this reading").click()
    worked(phone, pocket, flow="", volume="1", time="42.857", outlet="104.5")
    phone.get_by_role("button", name="Keep this reading").click()
    data = left(phone, way)
    lines = dict(enumerate(sent_text(data, "sent").split("\n")))
    made = list(received(tmp_path, {k: v for k, v in lines.items() if v}, ["packing-house"], today=DAY))
    assert [one.refused for one in made] == ["", ""]
    found = read_installed(tmp_path, tmp_path, sites={"packing-house": None}, models={}).by_site["packing-house"]
    assert [readable(one) for one in found.readings] == [
        (4, 1.400, 57.0, 239.0, 103.0),
        (4, 1.400, 57.0, 239.0, 104.5),
    ]


def readable(one: SentReading) -> tuple[Any, ...]:
    """A reading as sent, in the units in which it was typed."""
    assert one.flow_m3_s and one.inlet_k and one.outlet_k and one.volts
    gpm, degrees = (
        one.flow_m3_s / 6.30901964e-5,
        [round(kelvin * 1.8 - 459.67, 6) for kelvin in (one.inlet_k, one.outlet_k)],
    )
    return one.stages, round(gpm, 3), degrees[0], one.volts, degrees[1]


def left(page: Page, way: str) -> bytes:
    if way == "file":
        with page.expect_download() as download:
            page.get_by_role("button", name="Save as a file").click()
        assert download.value.suggested_filename == "packing-house-readings.txt"
        return Path(download.value.path()).read_bytes()
    if way == "code":
        page.get_by_role("button", name="QR code").click()
        return page.locator("#kept-code svg").screenshot()
    return page.locator("#kept-lines").input_value().encode()


@pytest.mark.parametrize("scheme", ["light", "dark"])
@pytest.mark.parametrize("width", [390, 1280])
def test_axe_finds_nothing(pocket: Path, browser: Browser, width: int, scheme: str) -> None:
    page = browser.new_page(viewport={"width": width, "height": 844}, color_scheme=scheme)  # type: ignore[arg-type]
    found = []
    worked(page, pocket, inlet="151")
    found += Axe().run(page, options=RULES).response["violations"]
    worked(page, pocket)
    page.get_by_role("button", name="Keep this reading").click()
    page.get_by_role("button", name="QR code").click()
    page.evaluate("document.querySelectorAll('details').forEach(fold => (fold.open = true))")
    found += Axe().run(page, options=RULES).response["violations"]
    page.goto((pocket / "bunkhouse.html").as_uri())
    found += Axe().run(page, options=RULES).response["violations"]
    page.close()
    assert [(one["id"], [node["html"][:100] for node in one["nodes"][:3]]) for one in found] == []


def test_nothing_runs_off_its_side(pocket: Path, phone: Page) -> None:
    for path in pocket.glob("*.html"):
        phone.goto(path.as_uri())
        phone.evaluate("document.querySelectorAll('details').forEach(fold => (fold.open = true))")
        for width in (320, 360, 390, 768, 1280):
            phone.set_viewport_size({"width": width, "height": 844})
            assert phone.evaluate("document.scrollingElement.scrollWidth") <= width, (path.name, width)


def test_the_system_s_dark_colours_are_taken(pocket: Path, browser: Browser) -> None:
    page = browser.new_page(color_scheme="dark")
    page.goto((pocket / "packing-house.html").as_uri())
    assert page.evaluate("getComputedStyle(document.body).backgroundColor") == "rgb(17, 25, 23)"
    page.close()
