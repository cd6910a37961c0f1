"""Checks across files: what one file names must exist in another, and an id stands once and is its file's name."""

from __future__ import annotations

import datetime
import re
from collections.abc import Collection, Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import TypeVar

from generator.errors import Fault
from generator.model.content.own_rule import OwnRule
from generator.model.heater import HeaterModel
from generator.model.settings import Settings
from generator.model.site import EARTHING, NORTH_AMERICAN, Panel, Site
from generator.model.site_water import WaterSource
from generator.model.tables.codes import CodeBasis
from generator.read.yaml.fault_words import listed, unknown
from generator.read.yaml.yaml_file import YamlFile
from generator.read.yaml.yaml_marks import Path as KeyPath

Stated = TypeVar("Stated", Panel, WaterSource)
_RULE = re.compile("[a-z0-9]+(-[a-z0-9]+)*")


@dataclass(frozen=True, slots=True)
class Named:
    """What a site may name. A model or basis whose own file has faults is None: it exists, and is told of there."""

    settings: Settings | None
    models: Mapping[str, HeaterModel | None]
    bases: Mapping[str, CodeBasis | None]
    plumbing: Collection[str]


def id_faults(
    files: Sequence[YamlFile[HeaterModel]] | Sequence[YamlFile[Site]] | Sequence[YamlFile[OwnRule]],
) -> Iterator[Fault]:
    """Yield the ids that stand twice or are not their file's name."""
    first: dict[str, str] = {}
    for file in files:
        if not file.value:
            continue
        other = first.setdefault(file.value.id, file.name)
        if other != file.name:
            yield file.fault(("id",), f"'{file.value.id}' is the id of {other} too", "one id a file, and it stays")
        if file.value.id != file.stem:
            wrong = f"'{file.value.id}' is not the file's name"
            yield file.fault(("id",), wrong, f"write {file.stem}, or name the file {file.value.id}.yaml")


def sharing_faults(files: Sequence[YamlFile[Site]]) -> Iterator[Fault]:
    """Yield what a site states of a panel or a water source otherwise than the first site that names it."""
    sharing = Sharing()
    for file in files:
        yield from sharing.faults(file)


class Sharing:
    """What the sites looked at so far state of panels and water sources; no more is kept than the first of each."""

    def __init__(self) -> None:
        self._panels: dict[str, tuple[YamlFile[Site], Panel]] = {}
        self._sources: dict[str, tuple[YamlFile[Site], WaterSource]] = {}

    def faults(self, file: YamlFile[Site]) -> Iterator[Fault]:
        """Yield what the next site states otherwise than the first that names the same."""
        if site := file.value:
            yield from _stated_alike(file, site.supply.panel, self._panels, what="panel")
            yield from _stated_alike(file, site.water.source, self._sources, what="water source")


def _stated_alike(
    file: YamlFile[Site], stated: Stated | None, first: dict[str, tuple[YamlFile[Site], Stated]], *, what: str
) -> Iterator[Fault]:
    if stated is None or stated.id is None:
        return
    key: KeyPath = ("supply", "panel") if isinstance(stated, Panel) else ("water", "source")
    other_file, other = first.setdefault(stated.id, (file, stated))
    for name, field in type(stated).model_fields.items():
        if getattr(stated, name) != getattr(other, name):
            path: KeyPath = (*key, field.alias or name)
            here, there = (f"'{one.text(path)}'" if one.text(path) else "no value" for one in (file, other_file))
            wrong = f"{here} is not what {other_file.name} states of {what} '{stated.id}'"
            yield file.fault(path, wrong, f"{there} in both, or a {what} of another id")


def settings_faults(file: YamlFile[Settings], bases: Collection[str], plumbing: Collection[str]) -> Iterator[Fault]:
    """Yield what handbook.yaml names and neither codes/ nor plumbing/ holds."""
    if file.value:
        yield from _plumbing_faults(file, file.value.plumbing_basis, plumbing)
    if file.value and file.value.code_basis not in bases:
        yield file.fault(("code_basis",), *unknown(file.value.code_basis, "a code basis", bases))


def site_faults(file: YamlFile[Site], known: Named) -> Iterator[Fault]:
    """Yield what a site names that does not exist, or that its heater or its code basis does not allow."""
    site = file.value
    if not site:
        return
    yield from _heater_faults(file, site, known)
    yield from _stated_faults(file, site, known.settings)
    yield from _decision_faults(file, site, known.settings)
    yield from _agreed_faults(file, site, known.settings)
    if site.code_basis and site.code_basis not in known.bases:
        yield file.fault(("code_basis",), *unknown(site.code_basis, "a code basis", known.bases))
    yield from _plumbing_faults(file, site.plumbing_basis, known.plumbing)
    basis_id = site.code_basis or (known.settings.code_basis if known.settings else "")
    if basis := known.bases.get(basis_id):
        yield from _wiring_faults(file, site, basis)
        yield from _system_faults(file, site, basis)
        yield from _size_faults(file, site, basis)


def _plumbing_faults(
    file: YamlFile[Settings] | YamlFile[Site], named: str | None, known: Collection[str]
) -> Iterator[Fault]:
    if named is not None and named not in known:
        wrong, expected = unknown(named, "a plumbing basis", known)
        yield file.fault(("plumbing_basis",), wrong, expected if known else f"add plumbing/{named}/rules.yaml")


def _heater_faults(file: YamlFile[Site], site: Site, known: Named) -> Iterator[Fault]:
    if site.heater not in known.models:
        yield file.fault(("heater",), *unknown(site.heater, "a heater model", known.models))
    heater = known.models.get(site.heater)
    if not heater:
        return
    feeds = [feed.name for feed in heater.electrical.feeds]
    for feed in site.circuit_numbers.keys() - set(feeds):
        yield file.fault(("circuit_numbers", feed), *unknown(feed, f"a feed of {heater.id}", feeds))
    if site.selected_stage is None:
        return
    if not heater.stage_selector:
        wrong = f"a stage is selected, and {heater.id} has no stage selector"
        yield file.fault(("selected_stage",), wrong, "leave the key out")
    elif not 1 <= site.selected_stage <= len(heater.stages):
        wrong = f"{heater.id} has no stage {site.selected_stage}"
        yield file.fault(("selected_stage",), wrong, f"write a stage from 1 to {len(heater.stages)}")


def _stated_faults(file: YamlFile[Site], site: Site, settings: Settings | None) -> Iterator[Fault]:
    stated = (("supply", "voltage_range"), site.supply.voltage_range), (("water", "flow_test"), site.water.flow_test)
    for place, known in stated:
        if settings and known and known.date > settings.date:
            wrong = f"{known.date.isoformat()} is after the date of the handbook, {settings.date.isoformat()}"
            yield file.fault((*place, "date"), wrong, "the day on which it was stated")


def _agreed_faults(file: YamlFile[Site], site: Site, settings: Settings | None) -> Iterator[Fault]:
    """Yield the permit and the local rules that are dated after the handbook."""
    places: list[tuple[KeyPath, datetime.date]] = [
        (("local_rules", index, "date"), rule.date) for index, rule in enumerate(site.local_rules)
    ]
    if site.permit:
        places.append((("permit", "date"), site.permit.date))
    for place, day in places:
        if settings and day > settings.date:
            wrong = f"{day.isoformat()} is after the date of the handbook, {settings.date.isoformat()}"
            yield file.fault(place, wrong, "the day on which it was given")


def _decision_faults(file: YamlFile[Site], site: Site, settings: Settings | None) -> Iterator[Fault]:
    seen: set[str] = set()
    for index, decision in enumerate(site.decisions):
        place = ("decisions", index)
        if settings and decision.date > settings.date:
            wrong = f"{decision.date.isoformat()} is after the date of the handbook, {settings.date.isoformat()}"
            yield file.fault((*place, "date"), wrong, "the day on which it was decided")
        subject, _, rule = decision.finding.partition(".")
        if subject != site.id or not _RULE.fullmatch(rule):
            wrong = f"'{decision.finding}' is no finding of this site"
            yield file.fault((*place, "finding"), wrong, f"write {site.id}, a point and the rule's name")
        elif decision.finding in seen:
            wrong = f"'{decision.finding}' is decided above already"
            yield file.fault((*place, "finding"), wrong, "each finding once")
        seen.add(decision.finding)


def _wiring_faults(file: YamlFile[Site], site: Site, basis: CodeBasis) -> Iterator[Fault]:
    route, methods = site.route, basis.methods
    method = methods.methods.get(route.method)
    if not method:
        yield file.fault(("route", "method"), *unknown(route.method, f"a wiring method of {basis.id}", methods.methods))
    laid = method.insulations if method else ()
    yield from _insulation_faults(file, ("route", "insulation"), route.insulation, among=laid, basis=basis)
    existing = site.existing_circuit
    if existing and existing.insulation is not None:
        found = (*laid, *(method.old_insulations if method else ()))
        place = ("existing_circuit", "insulation")
        yield from _insulation_faults(file, place, existing.insulation, among=found, basis=basis)
    if method and route.arrangement is not None and route.arrangement not in method.grouping_columns:
        wrong = f"'{route.arrangement}' is not an arrangement of the wiring method '{route.method}'"
        columns = method.grouping_columns
        yield file.fault(
            ("route", "arrangement"), wrong, f"write one of {listed(columns)}" if columns else "leave the key out"
        )


def _insulation_faults(
    file: YamlFile[Site], place: tuple[str, str], name: str, *, among: Sequence[str], basis: CodeBasis
) -> Iterator[Fault]:
    """Yield a fault for an insulation that the basis does not know, or that is not `among` those of the method."""
    known = basis.methods.insulations
    if name not in known:
        yield file.fault(place, *unknown(name, f"an insulation of {basis.id}", known))
    elif among and name not in among:
        wrong = f"'{name}' is not used with this wiring method"
        yield file.fault(place, wrong, f"write one of {listed(among)}")


def _system_faults(file: YamlFile[Site], site: Site, basis: CodeBasis) -> Iterator[Fault]:
    known = NORTH_AMERICAN if basis.header.family == "nfpa70" else EARTHING
    if site.supply.system is not None and site.supply.system not in known:
        wrong = f"'{site.supply.system}' is no system of a supply on the basis {basis.id}"
        yield file.fault(("supply", "system"), wrong, f"write one of {listed(known)}")


def _size_faults(file: YamlFile[Site], site: Site, basis: CodeBasis) -> Iterator[Fault]:
    circuit = site.existing_circuit
    sizes = {"conductor": circuit.conductor, "ground": circuit.ground} if circuit else {}
    for key, size in sizes.items():
        if size is not None and size not in basis.header.sizes:
            wrong, expected = f"'{size}' is no size of {basis.id}", f"write one of {listed(basis.header.sizes)}"
            yield file.fault(("existing_circuit", key), wrong, expected)
