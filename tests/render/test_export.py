"""Tables for other programs: every number in its column with its unit, rounded as printed; no cell is a formula."""

import csv
import datetime
import io
import json
from dataclasses import replace
from functools import cache
from pathlib import Path

import openpyxl
import pytest

from generator.build import Loaded, load
from generator.errors import InputFaults
from generator.model.register.installed import Installed
from generator.read.content.trades import read_trades
from generator.render.cells import harmless
from generator.render.check.programs import say
from generator.render.export import Known, Row, table_csv, tables, tables_json
from generator.render.format import NBSP, parts
from generator.render.workbook import workbook
from generator.rules import declared_rules
from tests.frozen import FOLDERS, ROOT

RULES = set(declared_rules())
TRADES = read_trades(ROOT / "content", RULES)


@cache
def demo() -> Loaded:
    return load(FOLDERS)


@cache
def made() -> dict[str, list[Row]]:
    return tables(Known(demo().book, demo().results, demo().inputs))


def read_back(rows: list[Row]) -> list[dict[str, str]]:
    return list(csv.DictReader(io.StringIO(table_csv(rows))))


def test_every_finding_is_there_with_its_trade_and_words() -> None:
    rows = {row["id"]: row for row in read_back(made()["findings"])}
    assert set(rows) == {found.id for found in demo().results.findings}
    for found in demo().results.findings:
        row = rows[found.id]
        assert (row["severity"], row["trade"], row["revision"]) == (found.severity, TRADES[found.rule], "4")
        assert row["do"] == say(found.do, demo().book.style).replace(NBSP, " ")
    settled = rows["packing-house.hardness"]
    assert (settled["standing"], settled["owner"], settled["due"]) == (
        "attention, settled",
        "maintenance lead",
        "2027-10-31",
    )


def test_a_workbook_reads_back_as_the_tables_say() -> None:
    """Read by another library (openpyxl): numbers as numbers, texts as texts, and the same bytes again."""
    data = workbook(made(), demo().inputs.settings.date)
    assert data == workbook(made(), demo().inputs.settings.date)
    book = openpyxl.load_workbook(io.BytesIO(data))
    assert book.sheetnames == [name for name, rows in made().items() if rows]
    numbers = 0
    for sheet in book:
        heads, *rows = sheet.iter_rows(values_only=True)
        wanted = made()[sheet.title]
        assert [dict(zip(heads, row, strict=True)) for row in rows] == wanted
        numbers += sum(isinstance(cell, float) for row in rows for cell in row)
        assert sheet.auto_filter.ref and sheet.freeze_panes == "A2"
    assert numbers > 50


@pytest.mark.parametrize("begins", ["=1+1", "+1", "-1", "@SUM(A1)", "\t=1", "http://elsewhere.example"])
def test_a_text_of_a_workbook_is_no_formula_even_when_it_is_edited(begins: str) -> None:
    """`t="s"` is a text (ECMA-376 part 1, 18.18.11), and `quotePrefix` keeps it one (18.8.45)."""
    book = openpyxl.load_workbook(io.BytesIO(workbook({"cards": [{"code": begins}]}, datetime.date(2026, 11, 2))))
    cell = book["cards"]["A2"]
    assert (cell.value, cell.data_type, cell.quotePrefix, cell.hyperlink) == (begins, "s", True, None)


def test_numbers_stand_as_they_are_printed() -> None:
    """A least flow rounds up and a greatest one down here too."""
    rows = {row["id"]: row for row in read_back(made()["flows"])}
    seen = 0
    for result in demo().results.sites:
        for window in result.windows:
            for name, figure in (("min flow [gpm]", window.least), ("max flow [gpm]", window.greatest)):
                cell = rows[f"site.{result.id}.stage.{window.number}"][name]
                if isinstance(figure.value, float):
                    seen += 1
                    shown = parts(figure.value, "flow", figure.side, units="us")[0]
                    assert float(cell) == float(shown.partition(NBSP)[0])
                else:
                    assert cell == ""
    assert seen > 10


def test_every_circuit_has_its_sizes() -> None:
    rows = {row["id"]: row for row in read_back(made()["circuits"])}
    creamery = rows["site.creamery.circuit.b"]
    assert (creamery["breaker [A]"], creamery["poles"], creamery["wire"]) == ("25.0", "3.0", "10 AWG")


def test_the_registers_tell_of_labels_and_of_how_many_stages_were_on() -> None:
    day = datetime.date(2026, 11, 26)
    hangs = [{"what": what, "code": "0000-0000", "since": day} for what in ("card", "panel-label")]
    read = [{"date": day, "stages": "2", "flow": "1 gpm"}]
    kept = Installed.model_validate({"hangs": hangs, "readings": read})
    known = tables(Known(demo().book, demo().results, replace(demo().inputs, installed={"creamery": kept})))
    cards = [(row["site"], row["what"], row["exchange"]) for row in read_back(known["cards"])]
    assert ("creamery", "panel-label", "yes") in cards and len(cards) == len(demo().book.sites) + 1
    (reading,) = read_back(known["readings"])
    assert (reading["stages"], reading["flow [gpm]"]) == ("2", "1.0")


@pytest.mark.parametrize("text", ["=1+1", "+1", "-1", "@a", "\tx", "\rx"])
def test_no_text_is_a_formula_to_a_spreadsheet(text: str) -> None:
    assert harmless(text) == f"'{text}"
    (row,) = read_back([{"a": text, "b": -1.5, "c": "a=b", "d": None}])
    assert row == {"a": f"'{text}", "b": "-1.5", "c": "a=b", "d": ""}


def test_what_a_writer_typed_cannot_run() -> None:
    book = demo().book
    view = book.sites[0]
    result = replace(view.result.findings[0], source="=HYPERLINK(1)")
    results = replace(demo().results, sites=(), models=(replace(demo().results.models[0], findings=(result,)),))
    (row,) = read_back(tables(Known(book, results, demo().inputs))["findings"])
    assert row["source"] == "'=HYPERLINK(1)"


def test_json_holds_the_same_tables() -> None:
    document = json.loads(tables_json(made()))
    assert (document.pop("format"), document.pop("format_version")) == ("handbook-export", 1)
    assert document == json.loads(json.dumps(made()))


@pytest.mark.parametrize(
    ("old", "new", "told"),
    [
        ("  - nameplate\n", "", "nameplate: no trade settles this check; name it under one"),
        ("  - nameplate\n", "  - nameplate\n  - relief-valve\n", "relief-valve stands under plumber already"),
        (
            "  - nameplate\n",
            "  - nameplate\n  - nameplates\n",
            "'nameplates' is not a check; the nearest is",
        ),
    ],
)
def test_a_check_without_one_trade_is_told(tmp_path: Path, old: str, new: str, told: str) -> None:
    text = (ROOT / "content" / "trades.yaml").read_text(encoding="utf-8")
    assert old in text
    (tmp_path / "content").mkdir()
    (tmp_path / "content" / "trades.yaml").write_text(text.replace(old, new), encoding="utf-8")
    with pytest.raises(InputFaults, match="content/trades.yaml:") as refused:
        read_trades(tmp_path / "content", RULES)
    assert told in str(refused.value)
