"""What the templates see: inputs and results side by side, one view a model and one a site."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from functools import cached_property

from generator.assemble.asked import model_faults, site_faults
from generator.assemble.comparisons import AtRating, at_ratings, at_site, of_model
from generator.assemble.facts import SiteFacts, site_facts
from generator.assemble.site_page import SitePage, site_page
from generator.assemble.workings import Workings, workings
from generator.compute.verdict.built import must_not_be_built, unfit_supply
from generator.compute.verdict.off import stays_off
from generator.compute.verdict.set_flow import leading
from generator.compute.verdict.status import status
from generator.model.content.notices import ActiveNotice
from generator.model.content.stated import Stated
from generator.model.content.symptoms import AskedSymptom, Compared, SymptomBook
from generator.model.content.words import Style, Units, Words
from generator.model.documents.revisions import History
from generator.model.figures import FigureTable, Finding, Severity, Value
from generator.model.heater import HeaterModel
from generator.model.inputs import Inputs
from generator.model.records import Status
from generator.model.results import FlowWindow, ModelResult, Results, SiteResult
from generator.model.settings import Settings
from generator.model.site import Site
from generator.model.tables.burns import BurnTable
from generator.model.tables.codes import CodeBasis
from generator.model.tables.pipes import Pipes
from generator.model.tables.plumbing import PlumbingRules
from generator.model.tables.tolerances import Tolerances


@dataclass(frozen=True, slots=True)
class ModelView:
    """A heater model: its specification, what follows, the sites that use it, the code basis it is shown on, words, and
    how far a sound one lies from its figures."""

    spec: HeaterModel
    result: ModelResult
    sites: tuple[Site, ...]
    basis: CodeBasis
    words: Words
    tolerances: Tolerances

    @property
    def comparisons(self) -> Mapping[str, tuple[Value, ...]]:
        """The heater's own figures that a fault-finding check is compared with, by key."""
        return of_model(self.spec, self.result, self.basis.header.service_voltage, words=self.words.compared)

    @property
    def at_ratings(self) -> tuple[AtRating, ...]:
        """What a heater without a site is compared with, at each line of its nameplate."""
        return at_ratings(self.spec, self.result, self.tolerances, words=self.words.compared)

    def faults(self, symptoms: SymptomBook) -> tuple[AskedSymptom, ...]:
        """Return fault finding as it is asked about where the site is not known."""
        return model_faults(self, symptoms)

    @property
    def units(self) -> Units:
        """The units it is shown in: SI on the IEC basis, customary ones on that of the United States."""
        return "si" if self.basis.header.family == "iec60364" else "us"

    @property
    def workings(self) -> Workings:
        """The working behind each figure and table."""
        return workings(self.result)


@dataclass(frozen=True)
class SiteView:
    """A site: its description, what follows, its heater, the code basis that governs it, the words, and how far a
    sound heater lies from its figures."""

    spec: Site
    result: SiteResult
    heater: HeaterModel
    basis: CodeBasis
    words: Words
    tolerances: Tolerances

    @cached_property
    def facts(self) -> SiteFacts:
        """What card, labels and the head of the page show."""
        return site_facts(self.spec, self.result, self.heater, basis=self.basis, words=self.words.card)

    @property
    def status(self) -> Status:
        """Where it stands."""
        return status(self.result)

    @property
    def forbids(self) -> tuple[Finding, ...]:
        """What says STOP: what was measured first, then the failed checks for which the heater stays off."""
        return (*(found for found in self.result.measured if found.severity == "stop"), *self.stays_off)

    @property
    def units(self) -> Units:
        """The units it is measured in: SI on the IEC basis, customary ones on that of the United States."""
        return "si" if self.basis.header.family == "iec60364" else "us"

    @property
    def group(self) -> str:
        """What it is listed under: its group, else the first letter of its title."""
        return self.spec.group or self.spec.title[0].upper()

    @cached_property
    def first_page(self) -> SitePage:
        """What its first page shows besides the facts."""
        return site_page(self)

    @property
    def workings(self) -> Workings:
        """The working behind each figure and table."""
        return workings(self.result)

    @property
    def comparisons(self) -> Mapping[str, Compared]:
        """What a fault-finding check is compared with at this site, by key."""
        return at_site(self)

    def faults(self, symptoms: SymptomBook) -> tuple[AskedSymptom, ...]:
        """Return fault finding as it is asked about at this site."""
        return site_faults(self, symptoms)

    @property
    def worst(self) -> Severity:
        """The gravest severity among the findings."""
        found = {finding.severity for finding in self.result.findings}
        return "stop" if "stop" in found else "attention" if "attention" in found else "ok"

    @cached_property
    def stays_off(self) -> tuple[Finding, ...]:
        """The failed checks for which the heater stays off."""
        return stays_off(self.result)

    @property
    def decided(self) -> tuple[Finding, ...]:
        """The failed checks that a person accepted or waived, and for which the heater does not stay off."""
        stops = (found for found in self.result.findings if found.severity == "stop" and found.decided)
        return tuple(found for found in stops if found not in self.stays_off)

    @property
    def unfit_supply(self) -> bool:
        """Whether the supply does not fit the heater: nothing computed at it may invite to a try."""
        return unfit_supply(self.result.findings) is not None

    @property
    def must_not_be_built(self) -> bool:
        """Whether no circuit may be built as the data stand."""
        return must_not_be_built(self.result)

    @property
    def window(self) -> FlowWindow:
        """The flow window that leads page and card."""
        return leading(self.result.windows, self.spec, self.heater)


@dataclass(frozen=True, slots=True)
class Content:
    """What the text draws on besides inputs and results, as `Book` holds it."""

    words: Words
    notices: Mapping[str, tuple[ActiveNotice, ...]]
    symptoms: SymptomBook
    stated: Mapping[str, Stated]
    trades: Mapping[str, str]


@dataclass(frozen=True, slots=True)
class Book:
    """Everything the handbook shows.

    `words` holds those of content/words; `tolerances` how far a sound heater lies from its figures; `notices` the
    safety notices that each page must show, by page id; `symptoms` is fault finding; `stated` the values that the text
    states and nothing computes, by id; `trades` whose trade settles each check; `method` the tables that compare our
    method with others; `burns` the published tables of how soon hot water burns; `plumbing`, `pipes` and `burn_sources`
    the rules and tables themselves, with who says so; `history` the releases and what has moved since the last;
    `card_codes` the codes of the quick cards that hold.
    """

    settings: Settings
    models: tuple[ModelView, ...]
    sites: tuple[SiteView, ...]
    codes: Mapping[str, CodeBasis]
    words: Words
    tolerances: Tolerances
    notices: Mapping[str, tuple[ActiveNotice, ...]] = field(default_factory=dict)
    symptoms: SymptomBook = SymptomBook((), {})
    stated: Mapping[str, Stated] = field(default_factory=dict)
    trades: Mapping[str, str] = field(default_factory=dict)
    method: tuple[FigureTable, ...] = ()
    burns: tuple[FigureTable, ...] = ()
    plumbing: Mapping[str, PlumbingRules] = field(default_factory=dict)
    pipes: Pipes | None = None
    burn_sources: tuple[BurnTable, ...] = ()
    history: History = field(default_factory=History)
    card_codes: Mapping[str, str] = field(default_factory=dict)

    @property
    def style(self) -> Style:
        """How figures are shown."""
        return Style(self.settings.units, self.words)

    @property
    def findings(self) -> tuple[Finding, ...]:
        """The findings of all sites, in order."""
        return tuple(finding for site in self.sites for finding in site.result.findings)


def book(
    inputs: Inputs,
    results: Results,
    content: Content,
    *,
    method: tuple[FigureTable, ...] = (),
    burns: tuple[FigureTable, ...] = (),
) -> Book:
    """Set inputs and results side by side, with what the text draws on."""
    return Book(
        inputs.settings,
        _model_views(inputs, results, content.words),
        _site_views(inputs, results, content.words),
        inputs.codes,
        content.words,
        inputs.tolerances,
        content.notices,
        content.symptoms,
        content.stated,
        content.trades,
        method,
        burns,
        plumbing=inputs.plumbing,
        pipes=inputs.pipes,
        burn_sources=inputs.burns,
    )


def _model_views(inputs: Inputs, results: Results, words: Words) -> tuple[ModelView, ...]:
    found = {result.id: result for result in results.models}
    return tuple(
        ModelView(spec, found[spec.id], _sites_of(spec, inputs), inputs.basis_of_model(spec), words, inputs.tolerances)
        for spec in inputs.models
    )


def _site_views(inputs: Inputs, results: Results, words: Words) -> tuple[SiteView, ...]:
    found = {result.id: result for result in results.sites}
    return tuple(
        SiteView(spec, found[spec.id], inputs.model(spec.heater), inputs.basis_of(spec), words, inputs.tolerances)
        for spec in inputs.sites
    )


def _sites_of(model: HeaterModel, inputs: Inputs) -> tuple[Site, ...]:
    return tuple(site for site in inputs.sites if site.heater == model.id)
