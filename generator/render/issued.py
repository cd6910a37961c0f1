"""What a release prints and keeps: every site's card and labels and the bound handbook, compressed, a file a site."""

from __future__ import annotations

import datetime
import hashlib
import io
import zipfile
from collections.abc import Callable, Iterator, Mapping, Sequence

from generator.assemble.documents import Book
from generator.model.documents.card import Card
from generator.model.documents.revisions import BOOK, CARD
from generator.model.settings import Settings
from generator.render.book.pdf import print_book
from generator.render.card import label as labels
from generator.render.card.pdf import TEMPLATE, Printing, print_card
from generator.render.pages.write import Rendered
from generator.render.typesetter import Typesetter


def issued(
    cards: Mapping[str, Card],
    printing: Printing,
    book: Book,
    *,
    pages: Sequence[Rendered],
    on_site: Callable[[], None] = lambda: None,
) -> Mapping[str, bytes]:
    """Return every document of a release by name: `<site>/card.pdf`, `<site>/panel-label.pdf`, … and BOOK.

    `on_site` is called after each site. PrintFault for what cannot be printed: a release that no one can print is none.
    """
    documents = dict(_documents(cards, printing, book.settings, on_site=on_site))
    return documents | {BOOK: print_book(printing.folder.parent, pages, book)}


def _documents(
    cards: Mapping[str, Card], printing: Printing, settings: Settings, *, on_site: Callable[[], None]
) -> Iterator[tuple[str, bytes]]:
    card_setter, label_setter = (Typesetter(printing.folder, name) for name in (TEMPLATE, labels.TEMPLATE))
    sizes = {"panel": settings.panel_label, "heater": settings.heater_label}
    for site, card in cards.items():
        yield f"{site}/{CARD}", print_card(card_setter, card, printing).pdf
        for kind in labels.LABELS:
            made = labels.print_label(label_setter, card, printing, kind=kind, size=sizes[kind])
            yield f"{site}/{kind}-label.pdf", made
        on_site()


def hashes(documents: Mapping[str, bytes]) -> dict[str, str]:
    """Return the SHA-256 of each document, in hexadecimal digits."""
    return {name: hashlib.sha256(content).hexdigest() for name, content in documents.items()}


def archives(documents: Mapping[str, bytes], date: datetime.date) -> dict[str, bytes]:
    """Return the documents in zip files, one a folder of their names: the same bytes for the same documents."""
    kept: dict[str, io.BytesIO] = {}
    for name, content in documents.items():
        folder, _, file = name.partition("/")
        with zipfile.ZipFile(kept.setdefault(folder, io.BytesIO()), "a", zipfile.ZIP_DEFLATED) as archive:
            entry = zipfile.ZipInfo(file, (date.year, date.month, date.day, 0, 0, 0))
            archive.writestr(entry, content, zipfile.ZIP_DEFLATED)
    return {f"{folder}.zip": stream.getvalue() for folder, stream in kept.items()}
