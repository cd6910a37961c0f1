"""The whole program, stage by stage: read, compute, assemble, render.

`load` is the journey up to results, which every verb shares; `build` goes on to the published handbook.
"""

from __future__ import annotations

import datetime
from collections.abc import Callable, Iterable, Iterator, Mapping
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Any

from generator import __version__
from generator.assemble.documents import Book, Content, book
from generator.assemble.finding_words import with_words
from generator.assemble.history import history
from generator.assemble.results_json import results_document
from generator.cards import cards_of
from generator.compute.heat.burn import burn_tables
from generator.compute.heat.trade_constant import comparison
from generator.compute.notices import model_notices, page_notices, site_notices, symptom_notices
from generator.compute.results import compute
from generator.compute.verdict.decisions import judged_on
from generator.errors import ComputeFaults, Fault, InputFaults, dotted
from generator.model.card import Card
from generator.model.faults import FaultBook
from generator.model.finding_rules import SAID
from generator.model.inputs import Inputs, Place
from generator.model.notices import ActiveNotice, Notice
from generator.model.results import Results
from generator.model.results_file import RESULTS, StoredResults
from generator.model.revisions import History
from generator.read.faults import read_faults
from generator.read.finding_words import read_finding_words
from generator.read.handbook import read_handbook
from generator.read.notices import read_notices
from generator.read.reader_words import read_words
from generator.read.revisions import read_frozen, read_releases
from generator.read.stated import read_stated
from generator.render.card_record import card_record
from generator.render.change_texts import Printed
from generator.render.engine import started, write_config
from generator.render.files import write_if_changed
from generator.render.json_file import results_bytes
from generator.render.lock import only_writer
from generator.render.pages import Rendered, write_pages
from generator.render.publish import publish
from generator.render.typst_card import card_code
from generator.rules import declared_rules

Progress = Callable[[str], None]


@dataclass(frozen=True, slots=True)
class Folders:
    """The folders of a handbook project, from its root. `words`: the root that content/ is taken from, if another."""

    root: Path
    words: Path | None = None

    @property
    def data(self) -> Path:
        """What a writer edits: models, sites, code tables, settings."""
        return self.root / "site_data"

    @property
    def content(self) -> Path:
        """What a writer words: pages, notices, fault finding, print templates."""
        return (self.words or self.root) / "content"

    @property
    def output(self) -> Path:
        """What the build writes."""
        return self.root / "build"


@dataclass(frozen=True, slots=True)
class Loaded:
    """Everything known before anything is written."""

    inputs: Inputs
    results: Results
    notices: tuple[Notice, ...]
    book: Book
    cards: Mapping[str, Card]

    def judged_on(self, day: datetime.date | None) -> Results:
        """Return the results as the decisions stand on a day; without one, none is late."""
        return judged_on(self.results, day)


def build(folders: Folders, engine: str = "mkdocs", progress: Progress = lambda _step: None) -> Loaded:
    """Build the handbook into `build/site/` and `build/results.json`; return what it was built from.

    HandbookError for any fault; what was published before is then untouched.
    """
    output, plain = folders.output, folders.root / "mkdocs.yml"
    with started(engine) as run, ThreadPoolExecutor() as aside:
        progress("reading and computing")
        loaded = load(folders)
        with only_writer(output):
            progress("writing the pages")
            rendered = write_pages(folders.content, output / "pages", loaded.book)
            config = output / "mkdocs.yml"
            write_config(plain, config, [one.page for one in rendered], settings=loaded.inputs.settings)
            progress(f"building the site of {len(rendered)} pages")
            results = aside.submit(lambda: results_bytes(results_of(loaded, rendered)))  # while the engine works
            publish(output / "site", lambda staged: run(config, staged))
            write_if_changed(output / "results.json", results.result())
    return loaded


def load(folders: Folders) -> Loaded:
    """Read and compute everything. InputFaults with all faults of the inputs, each with its place."""
    inputs = read_handbook(folders.data)
    notices = read_notices(folders.content / "notices")
    symptoms = read_faults(folders.content / "faults", {notice.id for notice in notices})
    stated = read_stated(folders.content / "stated.yaml")
    words = read_words(folders.content, inputs.settings.language)
    results = with_words(
        _computed(inputs),
        read_finding_words(folders.content, declared_rules(), SAID, language=inputs.settings.language),
    )
    content = Content(words, dict(_notices(inputs, results, notices, symptoms=symptoms)), symptoms, stated)
    shown = book(inputs, results, content, method=comparison(), burns=burn_tables(inputs.burns))
    cards = cards_of(folders.content, shown, notices)
    codes = {site: card_code(card, shown.style) for site, card in cards.items()}
    loaded = Loaded(inputs, results, notices, replace(shown, card_codes=codes), cards)
    return replace(loaded, book=replace(loaded.book, history=_history(folders.data, loaded)))


def results_of(loaded: Loaded, rendered: Iterable[Rendered] = (), working: bool = True) -> dict[str, Any]:
    """Return the results document: with the codes of the cards, and of the pages as far as they are `rendered`."""
    codes = {"card": loaded.book.card_codes, "page": {one.page.id: one.code for one in rendered}}
    cards = {site: card_record(card, loaded.book.style) for site, card in loaded.cards.items()}
    return results_document(
        loaded.inputs, loaded.results, codes, cards=cards, generator_version=__version__, working=working
    )


def comparable(loaded: Loaded, rendered: Iterable[Rendered] = ()) -> StoredResults:
    """Return the results as they would be read back from a file, which is what two runs are compared by."""
    return RESULTS.validate_python(results_of(loaded, rendered, working=False))


def _history(data: Path, loaded: Loaded) -> History:
    releases, marked = read_releases(data), loaded.inputs.settings.mark_changes
    if not releases:
        return History()
    last = read_frozen(data, releases[-1].name)
    return history(releases, last, comparable(loaded), printer=Printed(loaded.book.style), mark=marked)


def _computed(inputs: Inputs) -> Results:
    """Compute, and turn each refusal into a fault at its place in the files."""
    try:
        return compute(inputs)
    except ComputeFaults as refused:
        faults = []
        for subject, refusal in refused.refusals:
            place = _nearest_place(inputs.places, (*subject, *refusal.where))
            key = dotted(refusal.where)
            faults.append(Fault(place.file, place.line, place.column, key, refusal.wrong, refusal.expected))
        raise InputFaults(faults) from None


def _nearest_place(places: Mapping[tuple[str | int, ...], Place], path: tuple[str | int, ...]) -> Place:
    """Return the place of a key path, or of the nearest one above it that stands in the file."""
    return next(places[path[:end]] for end in range(len(path), 1, -1) if path[:end] in places)


def _notices(
    inputs: Inputs, results: Results, notices: tuple[Notice, ...], *, symptoms: FaultBook
) -> Iterator[tuple[str, tuple[ActiveNotice, ...]]]:
    """Yield the notices that each page must show, by page id."""
    for page in sorted({page for notice in notices for page in notice.appears} - {"site", "model", "symptom", "card"}):
        yield page, page_notices(page, notices)
    for symptom in symptoms.symptoms:
        yield f"fault-finding/{symptom.id}", symptom_notices(symptom, notices)
    for model in inputs.models:
        yield f"models/{model.id}", model_notices(model, notices)
    for site, result in zip(inputs.sites, results.sites, strict=True):
        model, basis = inputs.model(site.heater), inputs.basis_of(site)
        yield f"sites/{site.id}", site_notices(site, model, result, notices=notices, basis=basis)
