"""What the field sends is read as text or as a picture of codes, and refused in words where it is neither."""

import io

import pytest
import segno
from PIL import Image

from generator.errors import HandbookError
from generator.read.sent import sent_text

LINE = "reading packing-house 2026-11-27 stages 4, flow 1.40 gpm, outlet 103 degF"


def picture(*texts: str, kind: str = "png") -> bytes:
    """A picture of the QR codes of texts, side by side (ISO/IEC 18004, by segno)."""
    codes = []
    for text in texts:
        out = io.BytesIO()
        segno.make(text, error="m", micro=False).save(out, kind="png", scale=4, border=6)
        codes.append(Image.open(out).convert("L"))
    whole = Image.new("L", (sum(one.width for one in codes) or 50, max([one.height for one in codes], default=50)), 255)
    left = 0
    for one in codes:
        whole.paste(one, (left, 0))
        left += one.width
    out = io.BytesIO()
    whole.save(out, kind)
    return out.getvalue()


@pytest.mark.parametrize(
    "text", [LINE, f"{LINE}\nreading creamery outlet 90 degF\n", "near-miss creamery Wasser zu heiß"]
)
@pytest.mark.parametrize("kind", ["png", "jpeg", "webp"])
def test_a_picture_says_what_its_code_says(text: str, kind: str) -> None:
    assert sent_text(picture(text, kind=kind), "sent") == text


def test_several_codes_come_one_below_the_other() -> None:
    assert sorted(sent_text(picture(LINE, "card creamery 1H31-0KBM"), "sent").split("\n")) == [
        "card creamery 1H31-0KBM",
        LINE,
    ]


def test_a_text_comes_as_it_is() -> None:
    assert sent_text(LINE.encode(), "sent") == LINE
    assert sent_text(b"\xef\xbb\xbf" + LINE.encode(), "sent") == LINE
    assert sent_text(b"\xff\n" + LINE.encode(), "sent") == f"\ufffd\n{LINE}"


@pytest.mark.parametrize(
    ("data", "said"),
    [
        (b"\x89PNG\r\n\x1a\nnone", "cannot be read"),
        (picture(), "no QR code is found"),
    ],
)
def test_what_says_nothing_is_refused_by_name(data: bytes, said: str) -> None:
    with pytest.raises(HandbookError, match=said) as refused:
        sent_text(data, "photo.png")
    assert str(refused.value).startswith("photo.png: ")


def test_without_the_libraries_a_picture_is_refused_with_what_to_do(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("generator.read.sent.find_spec", lambda name: None if name == "zxingcpp" else object())
    with pytest.raises(HandbookError, match="install zxing-cpp and pillow"):
        sent_text(picture(LINE), "photo.png")
