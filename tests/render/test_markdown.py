"""What templates may use, and which templates and pages are refused."""

import re
from pathlib import Path

import markdown
import pytest
from jinja2 import Environment, FileSystemLoader
from jinja2.sandbox import SecurityError

from generator.assemble.pages import Page
from generator.errors import PageFault
from generator.model.content.words import Style
from generator.render.pages.markdown import environment, render_page
from generator.render.pages.template_cache import TemplateCache
from tests.render.small import HOSTILE, figure, finding, scald, small_book, table
from tests.styles import BOTH

PAGES = Path(__file__).parents[2] / "content" / "pages"
EXTENSIONS = ["attr_list", "def_list", "md_in_html", "tables", "toc"]
IDS = frozenset({"index", "safety", "sites/shed", "models/beck-9"})
HOTTEST = figure("site.shed.hottest", "Hottest", 331.5, "temperature", bound="at_least")


def render(folder: Path, template: str, style: Style = BOTH, **names: object) -> str:
    """Render a template as the page of the shed, with the project's own macros and some figures by name."""
    (folder / "_macros.md.j2").write_text((PAGES / "_macros.md.j2").read_text(encoding="utf-8"), encoding="utf-8")
    (folder / "a.md.j2").write_text(template, encoding="utf-8")
    active = names.get("notices", ())
    page = Page("sites/shed.md", "a.md.j2", "Shed", 1, notices=tuple(one.notice.id for one in active))
    book = small_book()
    known = {"settings": book.settings, "sites": book.sites, "notices": (), "hottest": HOTTEST, "hostile": HOSTILE}
    known |= {"history": book.history, "words": style.words}
    return render_page(environment(folder), page, known | names, page_ids=IDS, style=style)


def test_a_figure_in_a_sentence(tmp_path: Path) -> None:
    text = render(tmp_path, "Up to {{ hottest | show }}.{{ deferral() }}")
    assert text.startswith("Up to 138\u00a0°F (58.4\u00a0°C).")


def test_a_figure_that_opens_stays_on_its_line(tmp_path: Path) -> None:
    line, *_ = render(tmp_path, "- Up to {{ hottest | fig }}\n\n{{ deferral() }}").split("\n\n")
    assert "\n" not in line
    page = markdown.markdown(line, extensions=EXTENSIONS)
    assert page.startswith("<ul>\n<li>Up to <details")
    assert "T<sub>out</sub> = T<sub>in</sub> + P / (c × Q)" in page
    assert "T<sub>out</sub> = 62\u00a0°F + 9.60\u00a0kW / (c × 1.00\u00a0gpm)" in page
    assert "Source: steady-flow energy balance" in page


def test_hostile_texts_of_the_inputs_add_no_markup(tmp_path: Path) -> None:
    template = "# {{ hostile }}\n\n| a | b |\n| - | - |\n| {{ hostile }} | {{ hostile | upper }} |\n"
    page = markdown.markdown(render(tmp_path, template), extensions=EXTENSIONS)
    assert set(re.findall(r"<([a-z0-9]+)", page)) == {"h1", "table", "thead", "tbody", "tr", "th", "td"}
    assert page.count("<td>") == 2


def test_a_hostile_title_of_a_table_stays_in_its_place(tmp_path: Path) -> None:
    text = render(tmp_path, "{{ table(t) }}{{ deferral() }}", t=table("t", HOSTILE, "temperature", [310.0, 331.0]))
    assert "<b>" not in text
    assert "<script" not in text


@pytest.mark.parametrize("use", ["hottest | show", "hottest | fig", "table(t)", "figures((hottest,))", "finding(f)"])
def test_a_figure_without_the_deferral_notice_is_refused(tmp_path: Path, use: str) -> None:
    names = {"t": table("t", "Outlet", "temperature", [310.0, 331.0]), "f": finding("stop", "hottest-water")}
    with pytest.raises(PageFault, match="without the notice that local codes govern"):
        render(tmp_path, f"{{{{ {use} }}}}", **names)
    assert "Local codes govern" in render(tmp_path, f"{{{{ {use} }}}}\n{{{{ deferral() }}}}", **names)


def test_a_page_without_figures_needs_no_deferral_notice(tmp_path: Path) -> None:
    assert render(tmp_path, "Nothing computed here.") == "Nothing computed here."


def test_a_page_that_leaves_out_a_notice_is_refused(tmp_path: Path) -> None:
    with pytest.raises(PageFault, match=r"lacks safety notices that apply to it: scald; show each with \{\{ notice"):
        render(tmp_path, "No notice.", notices=(scald(),))


@pytest.mark.parametrize(
    ("use", "form"),
    [
        ("page_notices()", "section"),
        ("page_notices()", "grouped"),
        ("page_notices()", "supplemental"),
        ('section("scald")', "section"),
        ('embedded("scald")', "embedded"),
    ],
)
def test_a_notice_shows_signal_word_sign_and_reason(tmp_path: Path, use: str, form: str) -> None:
    text = render(tmp_path, f"{{{{ {use} }}}}{{{{ deferral() }}}}", notices=(scald(form),))
    assert 'data-notice="scald"' in text
    assert "WARNING" in text
    assert 'class="alert"' in text
    assert "Water at 138\u00a0°F (58.4\u00a0°C) is possible." in text


def test_a_notice_of_damage_bears_no_alert_sign(tmp_path: Path) -> None:
    damage = scald().notice.model_copy(update={"signal": "notice", "symbol": None})
    active = type(scald())(damage, "section")
    text = render(tmp_path, "{{ page_notices() }}", notices=(active,))
    assert "NOTICE" in text
    assert 'class="alert"' not in text


def test_a_notice_that_does_not_apply_is_refused(tmp_path: Path) -> None:
    with pytest.raises(PageFault, match=r"the notice 'scald' does not apply to this page; those that do: none"):
        render(tmp_path, '{{ section("scald") }}')


def test_a_cell_above_the_limit_says_so_in_words(tmp_path: Path) -> None:
    text = render(tmp_path, "{{ table(t) }}{{ deferral() }}", t=table("t", "Outlet", "temperature", [310.0, 331.0]))
    assert '<td class="beyond">137\u00a0°F' in text
    assert "▲</span>&nbsp;above limit" in text
    assert '<td class="no">not on</td>' in text
    assert "<strong>not on</strong>: Too little flow." in text
    assert text.count('scope="col"') == 4
    assert 'scope="row"' in text


def test_addresses_are_relative_and_known(tmp_path: Path) -> None:
    template = '{{ link("models/beck-9#stages") }} {{ href("index") }} {{ asset("symbols/earth.svg") }}'
    assert render(tmp_path, template) == "../models/beck-9.md#stages ../index.html ../assets/symbols/earth.svg"
    with pytest.raises(PageFault, match=r"a\.md\.j2:2: no page has the id 'sites/barn'"):
        render(tmp_path, 'one\n{{ link("sites/barn") }}')


@pytest.mark.parametrize(
    ("template", "fault"),
    [
        ("one\n{{ settings.colour }}", r"a\.md\.j2:2: .*colour"),
        ("one\n{{ nothing }}", r"a\.md\.j2:2: 'nothing' is undefined"),
        ("one\ntwo\n{% for x in sites %}", r"a\.md\.j2:\d: "),
        ("{{ hottest | shwo }}", r"a\.md\.j2:1: No filter named 'shwo'"),
        ("{{ 1 + settings }}", r"a\.md\.j2:1: unsupported operand"),
        ('{{ quantity(1.0, "weight") }}', r"a\.md\.j2:1: 'weight'"),
        ("{% for x in range(1000000) %}{% endfor %}", r"a\.md\.j2:1: Range too big"),
        ('{% include "a.md.j2" %}', r"a\.md\.j2:1: maximum recursion depth"),
    ],
)
def test_a_fault_in_a_template_names_its_line(tmp_path: Path, template: str, fault: str) -> None:
    with pytest.raises(PageFault, match=fault):
        render(tmp_path, template)


def test_templates_print_no_number_that_was_not_formatted() -> None:
    raw = re.compile(r"\{\{[^}]*(\.value\b|_(k|pa|m3_s|w|a|v|m|kg|hz|ohm)\s*\}\})")
    found = [
        f"{path.relative_to(PAGES)}:{number}: {line.strip()}"
        for path in sorted(PAGES.rglob("*.j2"))
        for number, line in enumerate(path.read_text(encoding="utf-8").splitlines(), 1)
        if raw.search(line)
    ]
    assert not found, "\n".join(found)


# What an expression would have to reach, from what the page is given, to run code or read a file.
ESCAPES = (
    "cycler.__init__.__globals__.os.mkdir(way)",
    "say.__globals__.posixpath.os.mkdir(way)",
    "''.__class__.__mro__[1].__subclasses__()",
    "settings.parse_raw(pickled, proto='pickle', allow_pickle=True)",
    "settings.parse_file(way)",
    "settings.model_construct()",
    "sites[0].spec.model_copy()",
    "hottest | attr('__class__')",
    "'{0.__class__.__init__.__globals__}'.format(settings)",
)


@pytest.mark.parametrize("escape", ESCAPES)
def test_a_template_runs_no_code_of_its_own(tmp_path: Path, escape: str) -> None:
    """Whoever asks what moved in another revision renders its templates, and runs nothing of its writer's."""
    way = tmp_path / "ran"
    pickled = f"cos\nmkdir\n(V{way}\ntR."
    with pytest.raises(PageFault, match=r"a\.md\.j2:1: access to attribute"):
        render(tmp_path, f"{{{{ {escape} }}}}", way=str(way), pickled=pickled)
    assert not way.exists()


def test_what_is_safe_of_one_type_is_not_taken_for_safe_of_another(tmp_path: Path) -> None:
    """Each type is judged once; the second answer is the first, and never that of another type."""

    class Own:
        mro = clear = "a word of its own"

    judged = environment(tmp_path)
    for _ in range(2):
        assert judged.is_safe_attribute(Own(), "clear", "")
        assert judged.is_safe_attribute(Own(), "mro", "")
        assert not judged.is_safe_attribute({}, "clear", {}.clear)
        assert not judged.is_safe_attribute(Own, "mro", Own.mro)
        assert not judged.is_safe_attribute(small_book().settings, "model_copy", None)


def test_compiled_templates_of_other_rules_are_not_run(tmp_path: Path) -> None:
    """A cache filled outside the sandbox, by another version or program, holds code that nothing holds back."""
    (tmp_path / "a.md.j2").write_text("{{ settings.__class__ }}", encoding="utf-8")
    loader = FileSystemLoader(tmp_path)
    free = Environment(loader=loader, bytecode_cache=TemplateCache(tmp_path, "free"))
    assert "object" in free.get_template("a.md.j2").render(settings=object())
    for kept_in in (tmp_path, tmp_path, None):
        with pytest.raises(SecurityError):
            environment(tmp_path, kept_in).get_template("a.md.j2").render(settings=object())
    assert len(list((tmp_path / ".cache" / "templates").iterdir())) == 2


def kept_template(root: Path) -> Path:
    """Compile a template, keep its code, and return the file that holds it."""
    (root / "a.md.j2").write_text("{{ 6 * 7 }} plain", encoding="utf-8")
    assert environment(root, root).get_template("a.md.j2").render() == "42 plain"
    (kept,) = (path for path in (root / ".cache").rglob("*") if path.is_file())
    return kept


def test_a_cache_that_is_damaged_is_not_run(tmp_path: Path) -> None:
    kept = kept_template(tmp_path)
    whole = kept.read_bytes()
    for at in range(0, len(whole), 7):
        kept.write_bytes(whole[:at] + bytes([whole[at] ^ 0x55]) + whole[at + 1 :])
        assert environment(tmp_path, tmp_path).get_template("a.md.j2").render() == "42 plain"
    kept.write_bytes(whole[:40])
    assert environment(tmp_path, tmp_path).get_template("a.md.j2").render() == "42 plain"
    assert kept.read_bytes() == whole


def test_what_a_killed_run_left_in_the_cache_goes_with_the_next(tmp_path: Path) -> None:
    kept = kept_template(tmp_path)
    kept.rename(left := kept.with_name(f".{kept.name}.part"))
    left.write_bytes(b"half")
    assert environment(tmp_path, tmp_path).get_template("a.md.j2").render() == "42 plain"
    assert [path.name for path in kept.parent.iterdir()] == [kept.name]


def test_where_no_cache_can_be_pages_are_made_all_the_same(tmp_path: Path) -> None:
    (tmp_path / ".cache").write_text("no folder", encoding="utf-8")
    (tmp_path / "a.md.j2").write_text("plain", encoding="utf-8")
    assert environment(tmp_path, tmp_path).get_template("a.md.j2").render() == "plain"
