"""Registers: what hangs stays on the list until it is exchanged; short lines from the field; the places of a recall."""

import re
from collections.abc import Callable
from pathlib import Path

import pytest

from generator.build import load
from generator.folders import Folders
from tests.changes.conftest import Said
from tests.changes.project import edit
from tests.changes.test_release import BY, moved_card, raise_revision

Handbook = Callable[..., Said]
SHED, HOUSE = "potting-shed", "seedling-house"


def register(folders: Folders, text: str, site: str = SHED) -> Path:
    path = folders.data / "installed" / f"{site}.yaml"
    path.parent.mkdir(exist_ok=True)
    path.write_text(text, encoding="utf-8")
    return path


def test_a_card_that_hangs_is_named_until_it_is_exchanged_whatever_was_released(
    handbook: Handbook, folders: Folders
) -> None:
    code = load(folders).book.card_codes[SHED]
    said = handbook("card", "--hung", SHED, code.lower().replace("-", ""), "2026-11-03")
    assert (said.status, said.out) == (0, f"{code} hangs at {SHED} since 2026-11-03, and is today's.\n")
    assert "exchange it" not in handbook("check").out
    handbook("release", *BY, "4")
    old, new = moved_card(folders)
    raise_revision(folders)
    handbook("release", *BY, "5")
    notice = f"Card of {SHED}: {old} hangs since 2026-11-03; exchange it for {new}."
    assert notice in " ".join(handbook("check").out.split()), "a release exchanges no card"
    said = handbook("card", "--hung", SHED, new, "2026-12-02")
    assert said.status == 0
    assert "exchange it" not in handbook("check").out
    assert load(folders).inputs.installed[SHED].hangs[0].code == old, "what hung before stays on record"


def test_another_card_than_today_s_is_taken_and_told(handbook: Handbook, folders: Folders) -> None:
    now = load(folders).book.card_codes[SHED]
    said = handbook("card", "--hung", SHED, "0000-0000", "2026-11-03")
    assert said.out == f"0000-0000 hangs at {SHED} since 2026-11-03. It is not today's card: exchange it for {now}.\n"


@pytest.mark.parametrize(
    ("words", "told"),
    [
        ((SHED,), "--hung takes SITE CODE [DATE]"),
        (("shed", "0000-0000"), "'shed' is not a site"),
        ((SHED, "00"), "'00"),
        ((SHED, "0000-0000", "tomorrow"), "is no code of a card"),
    ],
)
def test_what_cannot_be_put_on_record_is_told(
    handbook: Handbook, folders: Folders, words: tuple[str, ...], told: str
) -> None:
    said = handbook("card", "--hung", *words)
    assert said.status == 1 and told in said.err
    assert not (folders.data / "installed").exists()


LINES = """# from the field

card potting-shed 0000-0000 2026-11-03
panel-label potting-shed 1111-1111 2026-11-03
reading potting-shed 2026-11-04 flow 0.50 gpm, outlet 99 degF, volts 119 V
near-miss potting-shed 2026-11-05 the "cover" was off: # nobody hurt, {x}
"""
BAD = """card nowhere 0000-0000
reading potting-shed 2026-11-04 flow 0.50 degF
reading potting-shed 2026-11-04 flaw 0.50 gpm
near-miss potting-shed 2026-11-05
gossip potting-shed 2026-11-05 it is said
card potting-shed 0000-0000 2026-13-05
"""


def test_short_lines_go_into_the_register_once(handbook: Handbook, folders: Folders) -> None:
    path = folders.root / "sent.txt"
    path.write_text(LINES, encoding="utf-8")
    said = handbook("receive", str(path))
    assert said.status == 0, said.err
    notes = [line for line in said.out.splitlines() if "as a note. To be judged it lacks stages, inlet; " in line]
    assert [line.split(" 2026")[0] for line in notes] == ["reading potting-shed"]
    kept = load(folders).inputs.installed[SHED]
    assert [(one.what, one.code, one.since.isoformat()) for one in kept.hangs] == [
        ("card", "0000-0000", "2026-11-03"),
        ("panel-label", "1111-1111", "2026-11-03"),
    ]
    (reading,) = kept.readings
    assert reading.flow_m3_s == pytest.approx(0.5 * 3.785411784e-3 / 60)
    assert reading.outlet_k == pytest.approx((99 - 32) / 1.8 + 273.15) and reading.volts == 119.0
    (miss,) = kept.near_misses
    assert miss.what == 'the "cover" was off: # nobody hurt, {x}'
    assert "Near miss at potting-shed, 2026-11-05: the" in handbook("check").out
    written = (folders.data / "installed" / f"{SHED}.yaml").read_bytes()
    again = handbook("receive", str(path))
    assert again.status == 0 and again.out.count("on record already") == 4
    assert (folders.data / "installed" / f"{SHED}.yaml").read_bytes() == written


def test_each_line_that_is_refused_is_told_and_the_others_are_taken(handbook: Handbook, folders: Folders) -> None:
    path = folders.root / "sent.txt"
    path.write_text(BAD + "card potting-shed 0000-0000 2026-11-03\n", encoding="utf-8")
    said = handbook("receive", str(path))
    assert said.status == 1
    for number, line in enumerate(BAD.splitlines(), 1):
        assert f"{path}:{number}: {line}: " in said.err
    assert "'nowhere' is not a site" in said.err
    assert "is a temperature; write a flow" in said.err or "flow" in said.err
    assert "'flaw' is not a thing that is read; the nearest is 'flow'" in said.err
    assert "write near-miss SITE [DATE] what happened" in said.err
    assert "6 of 7 lines are refused" in said.err
    assert len(load(folders).inputs.installed[SHED].hangs) == 1


WHOLE = "reading potting-shed 2026-11-26 stages {}, flow 0.60 gpm, inlet 50 degF, outlet {} degF\n"


def test_a_whole_reading_is_judged_by_check(handbook: Handbook, folders: Folders) -> None:
    path = folders.root / "sent.txt"
    path.write_text(WHOLE.format(1, 110) + WHOLE.format(9, 80) + WHOLE.format(1, 49), encoding="utf-8")
    said = handbook("receive", str(path))
    assert "It is judged: handbook check potting-shed" in said.out and said.out.count("\n") == 1
    assert f"{path}:2: " in said.err and "the heater of potting-shed has no stage 9" in said.err
    assert f"{path}:3: " in said.err and "the outlet is colder than the inlet" in said.err
    told = " ".join(handbook("check", SHED, "--severity", "ok").out.split())
    assert "2026-11-26" in told


def test_what_a_person_wrote_into_a_register_stays(handbook: Handbook, folders: Folders) -> None:
    text = "# Ours.\nhangs:\n- code: 0000-0000\n  since: 2026-11-01  # by hand\n\n# Below.\nheaters: []\n"
    path = register(folders, text.replace("heaters: []\n", "near_misses:\n- {date: 2026-11-02, what: a}\n"))
    assert handbook("card", "--hung", SHED, "1111-1111", "2026-11-03").status == 0
    lines = path.read_text(encoding="utf-8").splitlines()
    assert lines[:4] == ["# Ours.", "hangs:", "- code: 0000-0000", "  since: 2026-11-01  # by hand"]
    assert '- {what: card, code: "1111-1111", since: 2026-11-03}' in lines
    assert lines.index("near_misses:") > lines.index('- {what: card, code: "1111-1111", since: 2026-11-03}')


@pytest.mark.parametrize(
    ("text", "told"),
    [
        ("heaters: [{model: beck, serial: A1, since: 2026-01-01}]", "heaters[1].model: 'beck' is not a heater model"),
        ("heaters: [{model: rill-3, serial: A1, since: 2026-01-02, until: 2026-01-01}]", "it left before it came"),
        (
            "heaters: [{model: rill-3, serial: A1, since: 2026-01-01}, {model: rill-3, serial: A2, since: 2026-01-01}]",
            "A1 and A2 are there at once",
        ),
        ("hangs: [{code: 12, since: 2026-01-01}]", "hangs[1].code: '12' is no code of a card"),
        ("readings: [{date: 2026-01-01, stages: 9}]", "readings[1].stages: "),
    ],
)
def test_a_register_that_cannot_be_is_told_at_its_place(
    handbook: Handbook, folders: Folders, text: str, told: str
) -> None:
    register(folders, text)
    said = handbook("check")
    assert said.status == 1
    assert told in said.err and f"site_data/installed/{SHED}.yaml:1:" in said.err


def test_one_heater_is_not_at_two_sites(handbook: Handbook, folders: Folders) -> None:
    for site in (SHED, HOUSE):
        register(folders, "heaters: [{model: rill-3, serial: A1, since: 2026-01-01}]", site)
    assert "the rill-3 A1 is at potting-shed too" in handbook("check").err


def places(handbook: Handbook, serials: str | None = None, model: str = "rill-3") -> list[str]:
    said = handbook("changes", "--model", model, *(("--serials", serials) if serials else ()))
    assert said.status == 0, said.err
    return said.out.splitlines()


def test_a_recall_lists_where_heaters_are_were_or_may_be(handbook: Handbook, folders: Folders) -> None:
    register(
        folders,
        "heaters:\n"
        "  - {model: rill-3, serial: QR3-0099, since: 2020-01-01, until: 2025-02-01, replaced_by: QR3-0100}\n"
        "  - {model: rill-3, serial: QR3-0100, since: 2025-02-01}\n",
    )
    there, left = f"{SHED}: QR3-0100, there since 2025-02-01", f"{SHED}: QR3-0099, left 2025-02-01; find where it went"
    assert places(handbook) == [left, there]
    assert places(handbook, "QR3-99..QR3-100") == [left, there], "numbers by their value"
    assert places(handbook, "QR3-0100..QR3-0200") == [there]
    assert places(handbook, "QR3-0101..QR3-0200") == ["No heater of these serial numbers is on file."]
    (unknown,) = places(handbook, "X-0001..X-0002")
    assert unknown.startswith(f"{SHED}: no serial number on file that tells"), "another form cannot be held to it"


def test_a_site_whose_serial_number_is_not_on_file_is_to_be_looked_at(handbook: Handbook, folders: Folders) -> None:
    path = folders.data / "sites" / f"{SHED}.yaml"
    text = re.sub(r"serial_number: .*\n", "", path.read_text(encoding="utf-8"))
    path.write_text(text, encoding="utf-8")
    (unknown,) = places(handbook, "QR3-0001..QR3-0002")
    assert unknown.startswith(f"{SHED}: no serial number on file")
    path.write_text(f"{text}\nserial_number: QR3-0001\n", encoding="utf-8")
    assert places(handbook, "QR3-0001..QR3-0002") == [f"{SHED}: QR3-0001, by the site's file"]
    assert not [line for line in places(handbook, model="rill-4m") if line.startswith(SHED)]


@pytest.mark.parametrize("serials", ["QR3-0001", "B..A", "QR3-2..QR3-1", "A1..B1"])
def test_what_is_no_range_is_told(handbook: Handbook, serials: str) -> None:
    said = handbook("changes", "--model", "rill-3", "--serials", serials)
    assert said.status == 1 and "is no range of serial numbers" in said.err


def test_an_unknown_model_is_told(handbook: Handbook, folders: Folders) -> None:
    edit(folders, f"sites/{SHED}.yaml", "spaces: 4", "spaces: 5")
    assert "no model has the id weir; the models are rill-3, rill-4m" in handbook("changes", "--model", "weir").err
