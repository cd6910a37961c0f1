"""Each notice has the signal word that its worst credible harm calls for, judged apart from the notice's own words."""

import re
from pathlib import Path

import pytest
import yaml

from tests.content.test_notice_places import NOTICES

GRADED = yaml.safe_load((Path(__file__).parents[1] / "sources" / "signal_words.yaml").read_text(encoding="utf-8"))
# ANSI Z535.6-2011, definitions of the signal words, from memory.
WORDS = {
    ("death", "will"): "danger",
    ("death", "could"): "warning",
    ("minor", "will"): "caution",
    ("minor", "could"): "caution",
    ("damage", "will"): "notice",
    ("damage", "could"): "notice",
}


def test_every_notice_is_graded() -> None:
    assert set(GRADED["notices"]) == set(NOTICES)


@pytest.mark.parametrize("id_", NOTICES)
def test_the_signal_word_follows_from_the_worst_credible_harm(id_: str) -> None:
    graded = GRADED["notices"][id_]
    assert NOTICES[id_].signal == WORDS[graded["harm"], graded["sure"]] and len(graded["how"].split()) >= 3


def test_no_notice_kills_with_what_cannot() -> None:
    """The current of an insulation tester does not kill by itself: its notice says what does."""
    tester = NOTICES["insulation-tester"]
    assert not re.search(r"\bkill", f"{tester.consequence} {tester.brief.line}") and "ladder" in tester.consequence
