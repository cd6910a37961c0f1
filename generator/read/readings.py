"""What was measured at the sites: site_data/readings/<site>/<date>.yaml, one file a visit."""

from __future__ import annotations

import datetime
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from itertools import chain
from pathlib import Path

from generator.errors import FILE_KEY, Fault
from generator.model.heater import HeaterModel
from generator.model.inputs import FilePlace
from generator.model.readings import Pair, Reading, Record
from generator.model.site import Site
from generator.read.yaml.fault_words import listed, unknown
from generator.read.yaml.folder import entries_of, yaml_files
from generator.read.yaml.yaml_file import YamlFile, load_yaml_file
from generator.read.yaml.yaml_marks import Path as KeyPath

README = "README.md"


@dataclass(frozen=True, slots=True)
class Readings:
    """What was read of the folder: the records in order of site and day, their places, and what is wrong."""

    records: tuple[Record, ...] = ()
    places: Mapping[KeyPath, FilePlace] = field(default_factory=dict)
    faults: tuple[Fault, ...] = ()


def read_readings(
    folder: Path, root: Path, *, sites: Mapping[str, Site | None], models: Mapping[str, HeaterModel | None]
) -> Readings:
    """Return the readings in `folder`; `sites` and `models` are those known by id, None where their file has faults."""
    if not folder.is_dir():
        return Readings()
    entries, faults = entries_of(folder, root)
    found: list[Record] = []
    places: dict[KeyPath, FilePlace] = {}
    for entry in entries:
        if not entry.is_dir():
            faults += () if entry.name == README else (_stray(entry, root),)
            continue
        if entry.name not in sites:
            wrong, expected = unknown(entry.name, "a site", sites)
            faults.append(Fault(entry.relative_to(root).as_posix(), 1, 1, FILE_KEY, wrong, expected))
            continue
        paths, more = yaml_files(entry, root)
        site = sites[entry.name]
        model = models.get(site.heater) if site else None
        for path in paths:
            file = load_yaml_file(path, Reading, path.relative_to(root).as_posix())
            day, day_faults = _day(file)
            more += [*file.faults, *day_faults, *(_across(file, day, site, model=model))]
            places |= file.places("reading", f"{entry.name}/{file.stem}")
            if file.value and day:
                found.append(Record(entry.name, day, file.value))
        faults += more
    return Readings(tuple(found), places, tuple(faults))


def _stray(entry: Path, root: Path) -> Fault:
    wrong = "a reading lies beside the folders of the sites"
    return Fault(entry.relative_to(root).as_posix(), 1, 1, FILE_KEY, wrong, "readings/<site>/<date>.yaml")


def _day(file: YamlFile[Reading]) -> tuple[datetime.date | None, tuple[Fault, ...]]:
    try:
        return datetime.date.fromisoformat(file.stem), ()
    except ValueError:
        wrong = f"'{file.stem}' is not the day of the visit"
        return None, (Fault(file.name, 1, 1, FILE_KEY, wrong, "name the file by it, such as 2026-11-20.yaml"),)


def _across(
    file: YamlFile[Reading], day: datetime.date | None, site: Site | None, *, model: HeaterModel | None
) -> Iterator[Fault]:
    """Yield what a reading says and its site, its heater or its own instruments contradict."""
    reading = file.value
    if reading is None:
        return
    yield from _instrument_faults(file, reading)
    if day and reading.next_check <= day:
        yield file.fault(("next_check",), "the next check is not after the visit", f"a day after {day.isoformat()}")
    if site is None or model is None:
        return
    yield from _stage_faults(file, reading, model)
    yield from _feed_faults(file, reading, model)
    yield from _line_faults(file, reading, site)
    fixtures = [fixture.name for fixture in site.fixtures]
    for place, valve in enumerate(reading.valves):
        if valve.fixture not in fixtures:
            yield file.fault(("valves", place, "fixture"), *unknown(valve.fixture, "a fixture of the site", fixtures))


def _instrument_faults(file: YamlFile[Reading], reading: Reading) -> Iterator[Fault]:
    """Yield the readings that were taken with no instrument named."""
    needed: dict[str, KeyPath] = {}
    for place, point in enumerate(reading.points):
        here = ("points", place)
        needed.setdefault("thermometer", (*here, "inlet"))
        for name in ("bucket", "watch") if point.by_bucket else ("flow_meter",):
            needed.setdefault(name, (*here, "volume" if point.by_bucket else "flow"))
        if point.volts:
            needed.setdefault("voltmeter", (*here, "volts"))
        if point.amps:
            needed.setdefault("clamp", (*here, "amps"))
    for place, one in enumerate(reading.circuits):
        if one.volts:
            needed.setdefault("voltmeter", ("circuits", place, "volts"))
    if reading.hottest:
        needed.setdefault("thermometer", ("hottest", "outlet"))
        needed.setdefault("voltmeter", ("hottest", "volts"))
    have = {name for name, _ in reading.instruments.named()}
    for name, path in needed.items():
        if name not in have:
            expected = f"instruments: {name}: {{kind, serial, calibrated_until, within or share}}"
            yield file.fault(path, f"it was read with no {name.replace('_', ' ')}", expected)


def _stage_faults(file: YamlFile[Reading], reading: Reading, model: HeaterModel) -> Iterator[Fault]:
    stages = len(model.stages)
    places: list[tuple[KeyPath, int]] = [(("points", i, "stages"), one.stages) for i, one in enumerate(reading.points)]
    places += [(("switching", i, "stage"), one.stage) for i, one in enumerate(reading.switching)]
    places += [(("hottest", "stages"), reading.hottest.stages)] if reading.hottest else []
    for path, number in places:
        if number > stages:
            yield file.fault(path, f"{model.id} has no stage {number}", f"write a stage from 1 to {stages}")


def _feed_faults(file: YamlFile[Reading], reading: Reading, model: HeaterModel) -> Iterator[Fault]:
    feeds = [feed.name for feed in model.electrical.feeds]
    circuits = ((("circuits", place, "feed"), one.feed) for place, one in enumerate(reading.circuits))
    amps = ((("points", place, "amps", feed), feed) for place, one in enumerate(reading.points) for feed in one.amps)
    for path, feed in chain(circuits, amps):
        if feed not in feeds:
            yield file.fault(path, *unknown(feed, f"a feed of {model.id}", feeds))
    for place, one in enumerate(reading.circuits):
        if one.feed in [other.feed for other in reading.circuits[:place]]:
            yield file.fault(("circuits", place, "feed"), f"'{one.feed}' stands above already", "each feed once")


def _volts(reading: Reading) -> Iterator[tuple[KeyPath, Mapping[Pair, float]]]:
    """Yield the volts of each point, and those of each circuit at no load, whose pairs are those at full load."""
    yield from ((("points", place, "volts"), one.volts) for place, one in enumerate(reading.points))
    for place, one in enumerate(reading.circuits):
        if one.volts:
            yield ("circuits", place, "volts", "no_load"), one.volts.no_load


def _line_faults(file: YamlFile[Reading], reading: Reading, site: Site) -> Iterator[Fault]:
    three = site.supply.phases == 3
    pairs: tuple[Pair, ...] = ("L1-L2", "L2-L3", "L3-L1") if three else ("L1-L2", "L1-N")
    lines = ("L1", "L2", "L3") if three else ("L1", "L2", "N")
    for path, volts in _volts(reading):
        for pair in volts:
            if pair not in pairs:
                yield file.fault((*path, pair), f"this supply has no {pair}", _one_of(pairs))
        if not three and len(volts) > 1:
            yield file.fault(path, "a single-phase heater stands across one pair", "the pair that feeds it")
    for place, point in enumerate(reading.points):
        for feed, by_line in point.amps.items():
            for line in by_line:
                if line not in lines:
                    path = ("points", place, "amps", feed, line)
                    yield file.fault(path, f"this supply has no {line}", _one_of(lines))


def _one_of(names: tuple[str, ...]) -> str:
    return f"write one of {listed(names)}"
