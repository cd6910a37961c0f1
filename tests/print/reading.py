"""Reading a PDF back, with readers that are not the program that wrote it."""

from __future__ import annotations

import io
import re
import shutil
import subprocess
from functools import lru_cache
from html import unescape
from typing import Any

import pytest
from pypdf import PdfReader

from generator.render.typst_texts import ZERO_WIDTH_SPACE

READ_LAST = 16  # PDFs that are looked at again and again
_SIGHTLESS = re.compile(rf"[\s\u00a0{ZERO_WIDTH_SPACE}]+")


def reader(pdf: bytes) -> PdfReader:
    return PdfReader(io.BytesIO(pdf))


def squeezed(text: str) -> str:
    """Text without white space: where a line ends is the page's affair."""
    return _SIGHTLESS.sub("", text)


@lru_cache(READ_LAST)
def _extracted(pdf: bytes) -> tuple[tuple[str, tuple[tuple[str, float], ...]], ...]:
    """Return the text of each page, and its parts with their size of type [pt]: to extract them takes long."""
    found = []
    for page in reader(pdf).pages:
        met: list[tuple[str, float]] = []

        def visit(
            text: str, _user: Any, matrix: Any, _font: Any, size: float, *, met: list[tuple[str, float]] = met
        ) -> None:
            met.append((text, abs(size * matrix[3])))

        found.append((page.extract_text(visitor_text=visit), tuple(met)))
    return tuple(found)


def text_of(pdf: bytes) -> str:
    return squeezed("".join(text for text, _ in _extracted(pdf)))


Box = tuple[float, float, float, float]


def boxes(pdf: bytes, page: int = 1) -> list[Box]:
    """Return the box of every word on a page, the first is 1 [pt]: left, top, right, bottom, by poppler."""
    return [box for _, box in placed(pdf, page)]


@lru_cache(READ_LAST)
def placed(pdf: bytes, page: int = 1) -> list[tuple[str, Box]]:
    """Return every word on a page, the first is 1, with its box [pt]."""
    if not shutil.which("pdftotext"):
        pytest.skip("pdftotext (poppler) is not installed")
    done = subprocess.run(
        ["pdftotext", "-bbox", "-f", str(page), "-l", str(page), "-", "-"], input=pdf, capture_output=True, check=True
    )
    word = r'<word xMin="([\d.-]+)" yMin="([\d.-]+)" xMax="([\d.-]+)" yMax="([\d.-]+)">([^<]*)<'
    found = re.findall(word, done.stdout.decode())
    return [
        (unescape(text), (float(left), float(top), float(right), float(bottom)))
        for left, top, right, bottom, text in found
    ]


def over_each_other(pdf: bytes, page: int = 1) -> list[tuple[tuple[float, ...], tuple[float, ...]]]:
    """Return the pairs of words of body text on a page that lie over each other by a third of their height.

    The box of a large figure is far higher than its ink: those are left out.
    """
    found, words = [], [box for box in boxes(pdf, page) if box[3] - box[1] < 15.0]
    for place, one in enumerate(words):
        for other in words[place + 1 :]:
            beside = min(one[2], other[2]) - max(one[0], other[0])
            deep = min(one[3], other[3]) - max(one[1], other[1])
            if beside > 1.0 and deep > 0.34 * min(one[3] - one[1], other[3] - other[1]):
                found.append((one, other))
    return found


def text_and_sizes(pdf: bytes) -> tuple[str, set[float]]:
    """Return the text without white space, and the sizes of its type [pt]."""
    return text_of(pdf), {round(size, 2) for _, parts in _extracted(pdf) for text, size in parts if text.strip()}


def words_of(pdf: bytes, page: int = 1) -> list[tuple[str, float]]:
    """Return the texts of a page, the first is 1, each with its size of type [pt]."""
    return list(_extracted(pdf)[page - 1][1])


def sides(pdf: bytes) -> tuple[str, ...]:
    """Return the text of each page, without white space."""
    return tuple(squeezed(text) for text, _ in _extracted(pdf))


@lru_cache(READ_LAST)
def word_count(pdf: bytes, page: int) -> int:
    """Return the words of a page, the first is 1, as poppler reads them: what white space of any kind parts."""
    if not shutil.which("pdftotext"):
        pytest.skip("pdftotext (poppler) is not installed")
    command = ["pdftotext", "-f", str(page), "-l", str(page), "-", "-"]
    return len(subprocess.run(command, input=pdf, capture_output=True, check=True).stdout.decode().split())
