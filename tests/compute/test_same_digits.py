"""The same data give the same digits and pages, however the Python that runs them adds numbers with a fraction.

From 3.12 on its `sum` carries what rounding loses ("What's New In Python 3.12": `sum()` uses Neumaier summation).
"""

import builtins
import math
from collections.abc import Iterable
from typing import Any

import pytest

from generator.build import Loaded, load, results_of
from generator.render.pages.write import Rendered, render_pages
from tests.frozen import FOLDERS

_SUM = builtins.sum


def carrying(values: Iterable[Any], /, start: Any = 0) -> Any:
    """As `sum` of the other kind: exact where all are numbers with a fraction."""
    given = [start, *values]
    return (
        math.fsum(given)
        if any(type(one) is float for one in given) and all(type(one) in (float, int) for one in given)
        else _SUM(given[1:], start)
    )


def one_after_another(values: Iterable[Any], /, start: Any = 0) -> Any:
    for value in values:
        start = start + value
    return start


def test_no_digit_and_no_page_hangs_on_the_version_of_python(
    loaded: Loaded, rendered: tuple[Rendered, ...], monkeypatch: pytest.MonkeyPatch
) -> None:
    for adds in (carrying, one_after_another):
        with monkeypatch.context() as patch:
            patch.setattr(builtins, "sum", adds)
            again = load(FOLDERS)
            pages = render_pages(FOLDERS.content, again.book)
        assert results_of(again) == results_of(loaded)
        assert [page.text for page in pages] == [page.text for page in rendered]
