"""What the typesetter cannot do is told of the print that asked, and the next print is set."""

from __future__ import annotations

from typing import Any

import pytest

from generator.errors import PrintFault
from generator.render.typesetter import Typesetter
from tests.frozen import ROOT


class Panic(BaseException):
    """As a library in another language raises it where it stops in its own code."""


Panic.__module__ = "pyo3_runtime"


class Stopping:
    def __init__(self, error: BaseException) -> None:
        self.error = error

    def compile(self, **_given: Any) -> bytes:
        raise self.error


def test_a_stop_inside_the_typesetter_is_a_fault_of_the_print() -> None:
    setter = Typesetter(ROOT / "content" / "print", "label.typ")
    setter.__dict__["_compiler"] = Stopping(Panic("byte range starts at 2 but ends at 0"))
    with pytest.raises(PrintFault, match="the typesetter gave up: byte range"):
        setter.pdf("site x", {}, 0)
    assert "_compiler" not in setter.__dict__  # what stopped is not asked again


def test_a_wish_to_end_is_not_taken_for_one() -> None:
    setter = Typesetter(ROOT / "content" / "print", "label.typ")
    setter.__dict__["_compiler"] = Stopping(KeyboardInterrupt())
    with pytest.raises(KeyboardInterrupt):
        setter.pdf("site x", {}, 0)
