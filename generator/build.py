"""The whole program, stage by stage: read, compute, assemble, render.

`load` is the journey up to results, which every verb shares; `build` goes on to the published handbook.
"""

from __future__ import annotations

import datetime
from collections.abc import Collection, Iterable, Mapping
from dataclasses import dataclass, replace
from pathlib import Path
from typing import TYPE_CHECKING, Any

from generator import __version__
from generator.assemble.changes.history import history
from generator.assemble.documents import Book, Content, book
from generator.assemble.reader_texts import Texts, reader_texts
from generator.assemble.results_json import results_document
from generator.assemble.selection import inputs_of, selected
from generator.assemble.worded_figures import Speaker
from generator.assemble.worded_findings import with_own, with_words
from generator.compute.active_notices import notices_by_page
from generator.compute.compute_all import compute
from generator.compute.heat.burn import burn_tables
from generator.compute.heat.trade_constant import comparison
from generator.compute.verdict.decisions import judged_on
from generator.errors import ComputeFaults, InputFaults
from generator.folders import Folders
from generator.model.content.notices import Notice
from generator.model.content.search_words import SearchWords
from generator.model.content.words import Words
from generator.model.documents.card import Card
from generator.model.documents.results_file import RESULTS, StoredResults
from generator.model.documents.revisions import History
from generator.model.finding_rules import SAID
from generator.model.inputs import Inputs
from generator.model.results import Results
from generator.model.settings import ENGLISH
from generator.read.content.figure_words import read_figure_words
from generator.read.content.finding_words import read_finding_words
from generator.read.content.language import check_language, in_language
from generator.read.content.notices import read_notices
from generator.read.content.overlay import is_reviewed
from generator.read.content.search_words import read_search_words
from generator.read.content.stated import read_stated
from generator.read.content.steps import read_steps
from generator.read.content.symptoms import read_symptoms
from generator.read.content.trades import read_trades
from generator.read.content.words import read_words
from generator.read.handbook import read_settings, read_sound
from generator.read.revisions import read_frozen, read_releases
from generator.refused import refuse_own, refuse_shape
from generator.render.card.content import card_code, card_record
from generator.render.card.since import since
from generator.render.changes.texts import Printed
from generator.render.json_file import results_bytes
from generator.render.lock import only_writer
from generator.render.pages.printable import unprintable_values
from generator.render.progress import UNSEEN, Progress
from generator.rules import declared_rules
from generator.said import said_texts
from generator.site_cards import cards_of

if TYPE_CHECKING:
    from generator.render.pages.write import Rendered


@dataclass(frozen=True, slots=True)
class Loaded:
    """Everything known before anything is written."""

    inputs: Inputs
    results: Results
    notices: tuple[Notice, ...]
    book: Book
    cards: Mapping[str, Card]
    search: SearchWords
    texts: Texts

    def judged_on(self, day: datetime.date | None) -> Results:
        """Return the results as the decisions stand on a day; without one, none is late."""
        return judged_on(self.results, day)

    def part(self, sites: Collection[str] = (), models: Collection[str] = ()) -> Loaded:
        """Return what is loaded of these sites and models alone, as `selected` takes them; all where none is named.

        HandbookError for an id that does not exist.
        """
        book = selected(self.book, models, sites)
        kept = {view.spec.id for view in book.sites}, {view.spec.id for view in book.models}
        return replace(
            self,
            inputs=replace(
                self.inputs,
                sites=tuple(view.spec for view in book.sites),
                models=tuple(view.spec for view in book.models),
            ),
            results=Results(
                tuple(one for one in self.results.models if one.id in kept[1]),
                tuple(one for one in self.results.sites if one.id in kept[0]),
            ),
            book=book,
            cards={site: card for site, card in self.cards.items() if site in kept[0]},
        )


def build(folders: Folders, engine: str = "mkdocs", progress: Progress = UNSEEN) -> Loaded:
    """Build the handbook into `build/site/` and `build/results.json`; return what it was built from.

    HandbookError for any fault; what was published before is then untouched.
    """
    # What makes pages and sites is loaded where they are made: a card waits for none of it.
    from concurrent.futures import ThreadPoolExecutor

    from generator.render.pages.kept import site_cache
    from generator.render.pages.write import write_pages
    from generator.render.publish import publish
    from generator.render.site.built import Before, unit_of
    from generator.render.site.engine import started, write_config
    from generator.render.site.whole import make_site

    output, plain = folders.output, folders.config
    with started(engine) as run, ThreadPoolExecutor() as aside:
        loaded = load(folders, progress)
        english = in_english(folders, loaded)
        with only_writer(output):
            kept = site_cache(
                folders.root, loaded.inputs, data=folders.data, tables=folders.tables, content=folders.content
            )
            rendered = write_pages(
                folders.content, output / "pages", loaded.book, root=folders.root, kept=kept, progress=progress
            )
            texts = {unit_of(one.page): one.text for one in rendered}
            kept = kept.and_pages({unit: text for unit, text in texts.items() if unit not in kept.digests})
            kept.forget_others()
            config = output / "mkdocs.yml"
            made = [one.page for one in rendered]
            write_config(plain, config, made, settings=loaded.inputs.settings, words=loaded.book.words)
            progress.step(f"building the site of {len(rendered)} pages")
            results = aside.submit(
                lambda: results_bytes(results_of(english or loaded, rendered))
            )  # as the engine works

            def make(staged: Path) -> None:
                built = Before(kept, output / "site").of(config, made)
                make_site(run, config, staged, book=loaded.book, search=loaded.search, built=built)
                if english:
                    _set_beside(folders, staged, loaded, english=english)

            publish(output / "site", make, companion=(output / "results.json", results.result))
    return loaded


def _set_beside(folders: Folders, site: Path, loaded: Loaded, *, english: Loaded) -> None:
    """Build the English handbook, and set it beside the built site whose language nobody has reviewed."""
    import tempfile

    from generator.render.pages.write import render_pages
    from generator.render.site.unreviewed import set_beside
    from generator.render.site.whole import make_apart

    with tempfile.TemporaryDirectory() as name:
        rendered = render_pages(folders.content, english.book, folders.root)
        own = {"content": folders.content, "plain": folders.config}
        make_apart(Path(name), rendered, **own, book=english.book, search=english.search)
        said, there = loaded.book.words.pages["unreviewed"], english.book.words.pages["unreviewed"]
        set_beside(site, Path(name), dict.fromkeys((said, there)), title=english.book.words.pages["in-english"])


def in_english(folders: Folders, loaded: Loaded, only: Collection[str] = ()) -> Loaded | None:
    """Return the handbook in English, which stands beside it as long as nobody has reviewed its language; else None.

    A card has one code in both.
    """
    if is_reviewed(folders.content, loaded.inputs.settings.language):
        return None
    english, codes = load(folders, language=ENGLISH, only=only), loaded.book.card_codes
    cards = {
        site: replace(card, code=codes[site], since=loaded.cards[site].since) for site, card in english.cards.items()
    }
    return replace(english, cards=cards, book=replace(english.book, card_codes=codes))


def load_told(folders: Folders, progress: Progress = UNSEEN, only: Collection[str] = ()) -> Loaded:
    """Load what is told by itself, with nothing beside it: in English as long as nobody has reviewed the language."""
    loaded = load(folders, progress, only=only)
    return in_english(folders, loaded, only) or loaded


def load(
    folders: Folders, progress: Progress = UNSEEN, *, language: str | None = None, only: Collection[str] = ()
) -> Loaded:
    """Read everything and compute it, in the handbook's language unless another is named.

    `only`: what prints of these sites need, where any are named: no other site and heater, and no history for pages.
    InputFaults with all faults of the inputs, each with its place.
    """
    inputs = _read(folders)
    language = language or inputs.settings.language
    inputs = replace(inputs, settings=inputs.settings.model_copy(update={"language": language}))
    check_language(folders.content, language, inputs.nearest(("handbook", "handbook", "language")))
    notices = read_notices(folders.content, language=language)
    symptoms = read_symptoms(folders.content, {notice.id for notice in notices}, language=language)
    stated = read_stated(folders.content, language=language)
    search = read_search_words(in_language(folders.content, "search.yaml", language))
    declared = declared_rules()
    trades = read_trades(folders.content, set(declared), language)
    refuse_own(inputs, declared, trades)
    refuse_shape(folders.content, inputs)
    if faults := tuple(unprintable_values(folders.content, inputs.places)):
        raise InputFaults(faults)
    findings = with_own(read_finding_words(folders.content, declared, SAID, language=language), inputs.rules)
    words = replace(read_words(folders.content, language=language), rules=findings.titles)
    told = Speaker(read_figure_words(folders.content, said_texts(), language=language), findings.reasons)
    results = with_words(told.worded(_computed(inputs, progress, only)), findings)
    inputs = inputs_of(inputs, only)
    progress.step("putting pages and cards together")
    active = told.worded(dict(notices_by_page(inputs, results, notices, symptoms=symptoms)))
    own = {rule.id: rule.trade for rule in inputs.rules}
    content = Content(words, active, symptoms, stated, {**trades, **own})
    method, burns = told.worded((comparison(), burn_tables(inputs.burns)))
    shown = book(inputs, results, content, method=method, burns=burns)
    cards = cards_of(folders.content, shown, notices)
    codes = {site: card_code(card, shown.style) for site, card in cards.items()}
    texts = reader_texts(notices, symptoms, stated.values(), steps=read_steps(folders.content, language))
    made = Loaded(inputs, results, notices, replace(shown, card_codes=codes), cards, search, texts)
    return _since_last(folders.data, made, with_history=not only)


def words_of(folders: Folders) -> Words:
    """Return the words of what is told by itself alone; the English ones where the settings cannot be read."""
    settings = read_settings(folders.data).value
    language = settings.language if settings and is_reviewed(folders.content, settings.language) else ENGLISH
    findings = read_finding_words(folders.content, declared_rules(), SAID, language=language)
    return replace(read_words(folders.content, language=language), rules=findings.titles)


def results_of(loaded: Loaded, rendered: Iterable[Rendered] = (), working: bool = True) -> dict[str, Any]:
    """Return the results document: with the codes of the cards, and of the pages as far as they are `rendered`."""
    codes = {"card": loaded.book.card_codes, "page": {one.page.id: one.code for one in rendered}}
    cards = {site: card_record(card, loaded.book.style) for site, card in loaded.cards.items()}
    made = results_document(
        loaded.inputs, loaded.results, codes, cards=cards, generator_version=__version__, working=working
    )
    return made | {"inputs": made["inputs"] | loaded.texts}


def comparable(loaded: Loaded, rendered: Iterable[Rendered] = ()) -> StoredResults:
    """Return the results as they would be read back from a file, which is what two runs are compared by."""
    return RESULTS.validate_python(results_of(loaded, rendered, working=False))


def _since_last(data: Path, loaded: Loaded, with_history: bool) -> Loaded:
    """Return what is loaded with its history, each card with what moved on it since the last release."""
    releases, style = read_releases(data), loaded.book.style
    if not releases:
        return loaded
    last, marked = read_frozen(data, releases[-1].name), loaded.inputs.settings.mark_changes
    past = History(releases)
    if with_history:
        past = history(releases, last, comparable(loaded), printer=Printed(style), mark=marked)
    cards = {
        site: replace(card, since=since(card, loaded.book.card_codes[site], last=last, style=style))
        for site, card in loaded.cards.items()
    }
    return replace(loaded, book=replace(loaded.book, history=past), cards=cards)


def _read(folders: Folders) -> Inputs:
    """Read the inputs. InputFaults with every fault, and with what the sound ones among them would be refused for."""
    inputs, faults = read_sound(folders.data, folders.tables)
    if inputs is not None and not faults:
        return inputs
    try:
        if inputs is not None:
            _computed(inputs)
    except InputFaults as refused:
        faults = (*faults, *refused.faults)
    raise InputFaults(faults)


def _computed(inputs: Inputs, progress: Progress = UNSEEN, only: Collection[str] = ()) -> Results:
    """Compute, and turn each refusal into a fault at its place in the files."""
    progress.step("computing sites", len(only or inputs.sites))
    try:
        return compute(inputs, progress.advance, only)
    except ComputeFaults as refused:
        raise InputFaults([inputs.fault(*one) for one in refused.refusals]) from None
