"""A part of the handbook: what is chosen, and what belongs to it."""

import pytest

from generator.assemble.selection import selected, site_book
from generator.build import Loaded
from generator.errors import HandbookError


def test_a_choice_brings_what_belongs_to_it(loaded: Loaded) -> None:
    book = loaded.book
    one = selected(book, sites=["creamery"])
    assert [view.spec.id for view in one.sites] == ["creamery"]
    assert [view.spec.id for view in one.models] == ["tarn-18"]
    assert [site.id for site in one.models[0].sites] == ["creamery"]
    by_model = selected(book, models=["beck-9"])
    assert {view.spec.id for view in by_model.sites} == {
        view.spec.id for view in book.sites if view.heater.id == "beck-9"
    }
    assert selected(book) == book
    with pytest.raises(HandbookError, match="no site has the id nowhere; the sites are "):
        selected(book, sites=["nowhere"])
    both = selected(book, models=["beck-9"], sites=["creamery"])
    assert [view.spec.id for view in both.sites] == ["creamery"], "sites named are all the sites"
    assert {view.spec.id for view in both.models} == {"beck-9", "tarn-18"}


def test_a_book_for_one_site_holds_its_own_pages_its_heater_and_the_emergency_page() -> None:
    known = [
        "index",
        "emergency",
        "models/beck-9",
        "models/tarn-18",
        "sites/a",
        "sites/a/details",
        "sites/a/faults",
        "sites/b",
        "sites/ab",
    ]
    assert site_book(known, "a", "beck-9") == [
        "sites/a",
        "sites/a/details",
        "sites/a/faults",
        "models/beck-9",
        "emergency",
    ]
