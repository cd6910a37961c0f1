"""Typst, set up once: our templates and fonts only, tagged PDF/UA-1, the same bytes for the same input."""

from __future__ import annotations

import datetime
import json
import os
import re
from collections.abc import Mapping
from functools import cached_property
from pathlib import Path
from typing import Any

import typst

from generator.errors import PrintFault

PAPERS = {"letter": "us-letter", "a4": "a4"}
OVERFLOW = "panicked with: overflow"  # what content/print/label.typ says when a label does not hold its text
_PANIC = "pyo3_runtime"  # the module of what Typst raises where it stops in its own code, no Exception
_PAGE_COUNT = re.compile(rb"/Type\s*/Pages\s*/Count (\d+)")


class Overflow(PrintFault):
    """More content than its page holds."""


def creation_time(date: datetime.date) -> int:
    """Return the time stamped into a PDF [s since 1970]: SOURCE_DATE_EPOCH if set, else the start of `date`, UTC."""
    epoch = os.environ.get("SOURCE_DATE_EPOCH", "")
    midnight = datetime.datetime(date.year, date.month, date.day, tzinfo=datetime.UTC)
    return int(epoch) if epoch.isdigit() else int(midnight.timestamp())


class Typesetter:
    """Sets one template of content/print/ again and again. Not for use from several threads at once."""

    def __init__(self, folder: Path, template: str) -> None:
        self.folder, self.template = folder, template

    @cached_property
    def _compiler(self) -> typst.Compiler:
        fonts = typst.Fonts(
            include_system_fonts=False, include_embedded_fonts=False, font_paths=[str(self.folder / "fonts")]
        )
        return typst.Compiler(input=str(self.folder / self.template), root=str(self.folder.parent), font_paths=fonts)

    def pdf(self, subject: str, data: Mapping[str, Any], timestamp: int, *, pages: int | None = None) -> bytes:
        """Return the PDF of the template filled with `data`, which reaches it as JSON in `sys.inputs.data`.

        What is drawn only where it is set stands in the data as an object with a method `svg`.

        Overflow when the content needs more than its page, or other than `pages` pages; PrintFault for anything else
        that Typst refuses.
        """
        try:
            pdf = self._compiler.compile(
                sys_inputs={"data": json.dumps(data, ensure_ascii=False, default=lambda drawn: drawn.svg())},
                format="pdf",
                pdf_standards="ua-1",
                timestamp=timestamp,
            )
        except typst.TypstError as error:
            raise _fault(subject, error) from None
        except BaseException as error:
            if type(error).__module__ != _PANIC:  # as of letters from right to left beside others, in a tagged PDF
                raise
            self.__dict__.pop("_compiler")
            expected = "texts in letters that run from left to right"
            raise PrintFault(subject, f"the typesetter gave up: {error}", expected) from None
        assert isinstance(pdf, bytes)
        if pages is not None and page_count(pdf) != pages:
            raise _overflow(subject)
        return pdf


def _overflow(subject: str) -> Overflow:
    return Overflow(subject, "the content needs more than its page", "shorter texts")


def page_count(pdf: bytes) -> int:
    """Return the pages of a PDF as Typst writes it; ValueError where it does not say."""
    found = _PAGE_COUNT.findall(pdf)
    if len(found) != 1:
        raise ValueError("the PDF does not state its number of pages once, where Typst is known to write it")
    return int(found[0])


def _fault(subject: str, error: typst.TypstError) -> PrintFault:
    if OVERFLOW in error.message:
        return _overflow(subject)
    place = error.diagnostic.partition("\n\n")[0].strip()
    return PrintFault(subject, "Typst cannot set it", place)
