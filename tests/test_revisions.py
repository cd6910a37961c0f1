"""What `make compare` counts as a difference. The run itself takes two builds, which other tests cover."""

from tests.revisions import differences, entries

BEFORE = {"page a.md": ["one", "two"], "card b.pdf": ["x"], **entries({"figures": {"f": {"value": 1.0}}, "version": 3})}


def test_the_same_is_no_difference() -> None:
    assert not list(differences(BEFORE, dict(BEFORE)))


def test_every_difference_is_listed() -> None:
    after = {
        "page a.md": ["one", "three"],
        "page c.md": [],
        **entries({"figures": {"f": {"value": 1.5}}, "version": 3}),
    }
    assert list(differences(BEFORE, after)) == [
        "gone: card b.pdf",
        "differs: page a.md\n  - two\n  + three",
        "new: page c.md",
        'differs: results figures f\n  - {"value": 1.0}\n  + {"value": 1.5}',
    ]


def test_a_long_difference_is_cut() -> None:
    (told,) = differences({"page": ["a"] * 9}, {"page": ["b"] * 9})
    assert told.endswith("and 10 more")
