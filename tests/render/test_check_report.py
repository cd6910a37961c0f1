"""The report of `handbook check`: short enough to be read every day, and no stop of it is ever shortened."""

from dataclasses import replace
from functools import cache

import pytest

from generator.build import Loaded, load
from generator.model.figures import Finding
from generator.render.check import report, site_row
from generator.render.check.programs import say
from generator.render.check.report import WIDTH, Shown, check_lines, stands_open
from generator.render.check.site_row import site_style
from generator.render.format import NBSP, show
from tests.frozen import FOLDERS
from tests.print.random_sites import random_views


@cache
def demo() -> Loaded:
    return load(FOLDERS)


def lines(*sites: str, shown: Shown | None = None) -> list[str]:
    part = demo().part(sites)
    return list(check_lines(part.book, part.results, shown or Shown(alone=bool(sites))))


def joined(told: list[str]) -> str:
    return " ".join(" ".join(told).split())


def brief(found: Finding) -> list[str]:
    """What a finding says in a line and what to do, in the units of its site."""
    book = demo().book
    view = next((one for one in book.sites if one.spec.id == found.subject), None)
    style = site_style(book.settings, view, book.style) if view else book.style
    todo = found.act if found.severity == "stop" else found.short
    return [say(part, style).replace(NBSP, " ") for part in (found.line, todo)]


def findings(severity: str) -> list[Finding]:
    return [one for one in demo().results.findings if one.severity == severity and not one.decided]


def test_the_whole_demo_fits_two_screens_of_a_hundred_columns() -> None:
    told = lines()
    assert max(map(len, told)) <= WIDTH == 100
    assert len(told) < 80, "it had 939 lines"


def test_every_site_has_a_row_with_its_own_figures() -> None:
    told = lines()
    for view in demo().book.sites:
        (row,) = [line for line in told[: 1 + len(demo().book.sites)] if f" {view.spec.id} " in line]
        style = site_style(demo().book.settings, view, demo().book.style)
        assert view.facts.hottest is not None
        assert f" {show(view.facts.hottest, style).replace(NBSP, ' ')} " in row
        if row.startswith("STOP"):
            assert " none " in row, "no flow is told of a heater that stays off, for whatever reason"
        assert row.startswith("STOP") == (view.spec.id in {one.subject for one in findings("stop")})
    assert "2x 25 A 3p" in joined(told), "two feeds alike are counted"
    assert "47.2 °C" in joined(told), "a site's own units"


def test_water_that_only_the_cut_out_holds_can_be_hotter_and_keeps_the_row_short() -> None:
    view = demo().book.sites[0]
    hottest = view.facts.hottest
    assert hottest is not None
    us = replace(demo().book.style, units="us")
    assert site_row._hottest(replace(hottest, state="at-cut-out"), us) == f"{show(hottest, us)}+"  # noqa: SLF001
    assert site_row._hottest(None, us) == "-"  # noqa: SLF001


def test_no_stop_is_shortened_however_many_there_are(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(report, "MOST_LINES", 1)
    text = joined(lines())
    assert len(findings("stop")) >= 3
    for found in findings("stop"):
        line, act = brief(found)
        assert f"STOP {found.subject}: {line} {act} [{found.rule}]" in text


def stop_lines(told: list[str]) -> list[list[str]]:
    """The lines of each stop of a report."""
    stops: list[list[str]] = []
    for line in told:
        if line.startswith("STOP  ") and ": " in line:
            stops.append([line])
        elif stops and line.startswith("      "):
            stops[-1].append(line)
        elif stops:
            break
    return stops


def assert_two_lines_a_stop(told: list[str], open_stops: list[Finding]) -> None:
    stops = stop_lines([*told[told.index("") + 1 :]])
    assert len(stops) == len(open_stops)
    for (wrong, *todo), found in zip(stops, open_stops, strict=True):
        assert len(todo) == 1, (found.rule, found.case, wrong, todo)
        assert wrong.startswith(f"STOP  {found.subject}: ") and todo[0].endswith(f" [{found.rule}]")
        assert max(len(wrong), len(todo[0])) <= 100


def test_every_stop_of_the_demo_takes_two_lines() -> None:
    assert_two_lines_a_stop(lines(), findings("stop"))


def test_every_stop_of_random_sites_takes_two_lines() -> None:
    book, results, cases = demo().book, demo().results, set()
    for settings, view in random_views(demo().inputs, 15, 120):
        found = [one for one in view.result.findings if one.severity == "stop" and not one.decided]
        cases |= {(one.rule, one.case) for one in found}
        only = replace(book, sites=(view,), settings=settings)
        told = list(check_lines(only, replace(results, sites=(view.result,), models=()), Shown()))
        assert_two_lines_a_stop(told, found)
    assert len(cases) > 12, cases


def test_open_points_have_a_line_each_by_site_while_they_are_few(monkeypatch: pytest.MonkeyPatch) -> None:
    points = findings("attention")
    assert len(points) > report.MOST_LINES
    monkeypatch.setattr(report, "MOST_LINES", len(points))
    text = joined(lines())
    assert text.count(" OPEN ") == len({one.subject for one in points})
    for found in points:
        assert brief(found)[0] in text


def test_many_open_points_stand_by_rule_with_every_site_named() -> None:
    text = joined(lines())
    for found in findings("attention"):
        assert f"[{found.rule}]: " in text
        assert found.subject in text.partition(f"[{found.rule}]: ")[2].partition(" OPEN ")[0]


def test_a_site_by_itself_says_what_to_do_about_each_point() -> None:
    text = joined(lines("creamery"))
    for found in findings("attention"):
        if found.subject == "creamery":
            assert f"{brief(found)[1]} [{found.rule}]" in text
    assert "bunkhouse" not in text


def test_severity_leaves_out_what_is_less_grave() -> None:
    assert "OPEN" not in joined(lines(shown=Shown("stop")))
    every = joined(lines(shown=Shown("ok")))
    assert "OK " in every and "HELD packing-house" in every
    assert "HELD" not in joined(lines())


def test_why_says_each_finding_in_full() -> None:
    text = joined(lines("packing-house", shown=Shown(why=True, alone=True)))
    (found,) = (one for one in findings("attention") if one.subject == "packing-house")
    for part in (found.found, found.why, found.do):
        assert say(part, demo().book.style) in text
    assert found.source in text


def test_the_counts_stand_last_and_add_up() -> None:
    every = demo().results.findings
    decided = sum(one.decided for one in every)
    numbers = [int(word) for word in lines()[-1].replace(".", " ").split() if word.isdecimal()]
    stops, sites, points, held, passed = numbers
    assert (stops, points, held) == (len(findings("stop")), len(findings("attention")), decided)
    assert sites == len({one.subject for one in findings("stop")})
    assert stops + points + held + passed == len(every)


def test_one_line_says_what_stands_open() -> None:
    told = stands_open(demo().results, demo().book.style)
    assert told.startswith(f"Stops: {len(findings('stop'))} at ") and len(told) <= WIDTH
