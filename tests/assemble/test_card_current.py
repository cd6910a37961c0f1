"""What `handbook changes --card` says of a card that hangs: of all that moved, what stands on that card."""

from __future__ import annotations

from generator.assemble.card.current import card_report, site_of
from generator.model.documents.change_report import ChangeReport, FigureChange, WordsChange
from generator.model.documents.results_file import StoredCard, StoredResults
from tests.changes.test_report import results


def moved(id_: str) -> FigureChange:
    return FigureChange(id_, id_, "1", "2", "1", "")


def held(code: str, *figures: str) -> StoredResults:
    codes = {"card": {"shed": code, "barn": "BBBB-BBBB"}, "page": {}}
    return results(codes=codes, cards={"shed": StoredCard(figures, ()), "barn": StoredCard(("site.barn.x",), ())})


def test_of_all_that_moved_what_stood_or_stands_on_the_card_is_told() -> None:
    changes = tuple(moved(f"site.{name}") for name in ("shed.left", "shed.came", "shed.page-only", "barn.x"))
    words = (WordsChange("barn", ("a",), ()), WordsChange("shed", ("b",), ("c",)))
    report = ChangeReport("3", "now", (), (), changes, (), (), words, {"site.shed": "The shed"})
    then, now = held("AAAA-AAAA", "site.shed.left"), held("CCCC-CCCC", "site.shed.came")
    found = card_report("AAAA-AAAA", "shed", then, now=now, report=report)
    assert [one.id for one in found.figures] == ["site.shed.left", "site.shed.came"]
    assert found.words == words[1]
    assert (found.code, found.now, found.title, found.release) == ("AAAA-AAAA", "CCCC-CCCC", "The shed", "3")
    assert (site_of("AAAA-AAAA", then), site_of("AAAA-AAAA", now)) == ("shed", None)
