"""Rules that can apply to no page go; every other stays as it was."""

import pytest

from generator.render.site.unused_style import names_in, without_unused

NAMES = {"used", "too", "teal"}


@pytest.mark.parametrize(
    ("style", "left"),
    [
        (".used{a:b}", ".used{a:b}"),
        (".gone{a:b}", ""),
        (".used .gone{a:b}", ""),
        (".used,.gone,.too{a:b}", ".used,.too{a:b}"),
        (".used:not(.gone){a:b}", ".used:not(.gone){a:b}"),
        (":is(.gone,.used){a:b}", ":is(.gone,.used){a:b}"),
        ("h1,p>a{a:b}", "h1,p>a{a:b}"),
        ("@media print{.gone{a:b}}", ""),
        ("@media print{.gone{a:b}.used{c:d}}", "@media print{.used{c:d}}"),
        ("@keyframes turn{0%{a:b}to{c:d}}", "@keyframes turn{0%{a:b}to{c:d}}"),
        ("@font-face{a:b}", "@font-face{a:b}"),
        ("[data-md-color-primary=teal]{a:b}[data-md-color-primary=red]{a:b}", "[data-md-color-primary=teal]{a:b}"),
        (":root{--gone:url('x;y');--kept:url(\"z\")}p{a:var(--kept)}", ':root{--kept:url("z")}p{a:var(--kept)}'),
        (":root{--size:1px}", ":root{--size:1px}"),
    ],
)
def test_what_needs_a_class_that_no_page_has_goes(style: str, left: str) -> None:
    assert without_unused(style, NAMES) == left


def test_an_image_that_another_sheet_uses_stays() -> None:
    assert without_unused(":root{--kept:url(z)}", NAMES, beside="p{a:var(--kept)}") == ":root{--kept:url(z)}"


def test_the_classes_of_a_page_are_found_with_quotes_and_without() -> None:
    page = '<body data-md-color-scheme="slate"><p class="one two"><a class=three>class="four"</a></p></body>'
    assert names_in(page) >= {"slate", "one", "two", "three"}
