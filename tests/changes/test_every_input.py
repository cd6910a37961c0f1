"""Change each value of the demo, and hold the report to what really differs.

Each change is one that the handbook accepts alone; a few of them are then made together, for one report.

What differs is found here from the two states themselves: printed texts of figures, texts of pages and cards. The
report must name the changed key and nothing else as changed, and exactly those figures, findings, pages and cards.
"""

import re
from collections.abc import Hashable, Iterator, Mapping
from pathlib import Path
from typing import TypeVar

import pytest
import yaml

from generator import build
from generator.assemble.changes.compare import change_report
from generator.assemble.changes.work import with_work
from generator.errors import HandbookError, dotted
from generator.folders import Folders
from generator.model.content.words import Style
from generator.model.documents.change_report import ChangeReport
from generator.model.figures import Figure
from generator.model.inputs import FilePlace
from generator.read.content.work import read_work
from generator.read.handbook import read_handbook
from generator.render.changes.texts import Printed
from generator.render.format import show
from tests.changes.mutations import candidates, edited
from tests.changes.project import State, copy_of_demo, state
from tests.frozen import DATA, ROOT
from tests.sample import sample

pytestmark = pytest.mark.heavy

Key = TypeVar("Key", bound=Hashable)
MODELS = sorted(path.stem for path in (DATA / "models").glob("*.yaml"))
SITES = sorted(path.stem for path in (DATA / "sites").glob("*.yaml"))
HEATERS = {site: yaml.safe_load((DATA / "sites" / f"{site}.yaml").read_text())["heater"] for site in SITES}
TABLES = sorted(
    path.relative_to(DATA).as_posix() for top in ("codes", "pipes") for path in (DATA / top).rglob("*.yaml")
) + ["burns.yaml"]
EVERY = sample(24, 8)  # of a table, whose cells are much alike, one value in so many is changed
RULES = read_work(ROOT / "content")
TOGETHER = 15  # so many changes stand in one report
Slip = tuple[str, FilePlace, str]  # key, place, new text

# Keys of tables whose value cannot be another one alone, by patterns of file and key, and why.
FIXED = (
    (r"codes/.+", r"law"),  # the one whose cells these are
    (r"codes/.+/basis", r"sizes\[\d+\]"),  # in rising order
    (r"codes/iec/grouping", r"rows\.12\[\d\]"),  # the factors above and below leave no room
    (r"codes/.+/standard_ratings", r"rows\.\d+\[1\]"),  # a rating is its row's key
    (r"codes/.+/(terminal_torque|appliance_limits|load_factors)", r"columns\[\d\]"),  # by which a value is found
    (r"codes/us/dc_resistance", r"columns\[2\]"),  # by which the resistance is found
    (r"pipes/sizes/.+", r"law|columns\[\d\]|rows\.1-1/2 in\[3\]"),  # a tolerance that rises by no step
    (r"pipes/materials", r"materials\..+\.(rating\.(pressure|stress|at_base)|velocities\[\d\])"),  # names of tables
    (r"pipes/materials", r"sizes\[\d+\]"),  # in rising order
    (r"burns", r"tables\[\d\]\.(columns\[\d\]|law|unit)"),  # a table of burns has these
)
# Keys of the rest, each by name.
NO_NEIGHBOUR = {
    "handbook.yaml": {
        "language",  # there is one
        "code_basis",  # the wiring methods of the sites are those of their basis
        "plumbing_basis",  # there is one
    },
    "sites/bunkhouse.yaml": {
        "id",  # an id is its file's name
        "heater",  # no other model here has as many stages as are selected
        *(CABLE := {"route.method", "route.insulation"}),  # a cable has its own insulation
    },
    "sites/creamery.yaml": {"id", "heater"},
    "sites/farm-stand.yaml": {"id", *CABLE},
    "sites/packing-house.yaml": {
        "id",
        "heater",
        *("decisions[1].finding", "decisions[1].kind"),  # nothing else there is to be settled at that figure
    },
    "sites/potting-shed.yaml": {"id"},
    "sites/seedling-house.yaml": {
        "id",
        "heater",  # no other model is for 50 Hz
        "code_basis",
        "route.conductor",  # the basis has no table for aluminum
        *("water.cold_run[1].material", "water.hot_run[1].material"),  # no other metric pipe comes in that size
    },
    "models/beck-9.yaml": {
        *(OF_MODEL := {"id", "ratings[1].phases", "connections[1].water", "connections[2].water"}),
        *(LEADS := {f"electrical.leads[{number}].role" for number in (1, 2, 3)}),  # each lead that the ratings call for
        "electrical.neutral_needed",  # as the leads have it
        *(f"electrical.feeds[1].stages[{number}]" for number in range(1, 5)),  # each stage on exactly one feed
        "stage_selector",  # its sites select a stage
    },
    "models/rill-3.yaml": {
        *OF_MODEL,
        (NUMBERED := "electrical.feeds[1].name"),  # its site numbers the circuit by it
        *LEADS,
        "electrical.neutral_needed",
        *(TWO_STAGES := {f"electrical.feeds[1].stages[{n}]" for n in (1, 2)}),
    },
    "models/rill-4m.yaml": {
        *(OF_MODEL | LEADS | TWO_STAGES),
        NUMBERED,
        "electrical.neutral_needed",
        "frequency",  # at any other its 230 V are judged by the US basis, where they stand between two lines
    },
    "models/tarn-18.yaml": {
        *(OF_MODEL - {"ratings[1].phases"}),
        *(NUMBERED, "electrical.feeds[2].name"),
        *LEADS,
        *("electrical.leads[4].role", "electrical.neutral_needed"),
        *("ratings[2].phases", "ratings[3].phases"),  # its site has that supply, and no rating stands there twice
        *(f"electrical.feeds[{feed}].stages[{number}]" for feed in (1, 2) for number in (1, 2, 3)),
        "stage_selector",
    },
}


def test_every_value_of_the_settings(tmp_path: Path) -> None:
    folders = copy_of_demo(tmp_path)
    assert refused(folders, "site_data/handbook.yaml") == NO_NEIGHBOUR.get("handbook.yaml", set())


@pytest.mark.parametrize("site", SITES)
def test_every_value_of_a_site(tmp_path: Path, site: str) -> None:
    """The site's own model is there, and another site with another model, which must stay as they are."""
    other = companion(site)
    folders = copy_of_demo(tmp_path, {HEATERS[site], HEATERS[other]}, {site, other})
    assert refused(folders, f"site_data/sites/{site}.yaml") == NO_NEIGHBOUR.get(f"sites/{site}.yaml", set())


@pytest.mark.parametrize("model", MODELS)
def test_every_value_of_a_model(tmp_path: Path, model: str) -> None:
    """A site that uses the model is there, and one that does not."""
    site = next(site for site in SITES if HEATERS[site] == model)
    other = companion(site)
    folders = copy_of_demo(tmp_path, {model, HEATERS[other]}, {site, other})
    assert refused(folders, f"site_data/models/{model}.yaml") == NO_NEIGHBOUR.get(f"models/{model}.yaml", set())


@pytest.mark.parametrize("table", TABLES)
def test_some_values_of_a_code_table(tmp_path: Path, table: str) -> None:
    folders = copy_of_demo(tmp_path, {"beck-9", "rill-4m"}, {"bunkhouse", "seedling-house"})
    patterns = [key for file, key in FIXED if re.fullmatch(file, table.removesuffix(".yaml"))]
    keys = refused(folders, f"site_data/{table}", EVERY)
    assert not [key for key in keys if not any(re.fullmatch(pattern, key) for pattern in patterns)]


def companion(site: str) -> str:
    return "seedling-house" if HEATERS[site] == "rill-3" else "potting-shed"


def refused(folders: Folders, file: str, every: int = 1) -> set[str]:
    """Change every value of a file and check the reports; return the keys that no other value fits."""
    before = state(folders)
    content = (folders.root / file).read_text(encoding="utf-8")
    keys, slips = set(), []
    for key, place in list(values_of(before, file))[every // 2 :: every]:
        new = accepted(folders, file, content, place)
        if new is None:
            keys.add(key)
        else:
            slips.append((key, place, new))
    for start in range(0, len(slips), TOGETHER):
        hold_slips(before, folders, file, content, slips[start : start + TOGETHER])
    return keys


def accepted(folders: Folders, file: str, content: str, place: FilePlace) -> str | None:
    """Return another text that the handbook accepts at a place, all else as it is."""
    for new in candidates(place.text):
        (folders.root / file).write_text(edited(content, place, new), encoding="utf-8")
        try:
            (build.load if file.endswith("handbook.yaml") else computed)(
                folders
            )  # a language is refused with its words
        except HandbookError:
            continue
        return new
    return None


def computed(folders: Folders) -> None:
    """Read and compute, which is where an input is refused. HandbookError for whatever is at fault."""
    build._computed(read_handbook(folders.data))


def hold_slips(before: State, folders: Folders, file: str, content: str, slips: list[Slip]) -> None:
    """Hold the report of these changes together, or, where together they are refused, of each."""
    changed = content
    for _, place, new in sorted(slips, key=lambda slip: (slip[1].line, slip[1].column), reverse=True):
        changed = edited(changed, place, new)
    (folders.root / file).write_text(changed, encoding="utf-8")
    try:
        after = state(folders)
    except HandbookError:
        assert len(slips) > 1, slips
        for slip in slips:
            hold_slips(before, folders, file, content, [slip])
    else:
        hold(before, after, file, {key for key, _, _ in slips})


def values_of(before: State, file: str) -> Iterator[tuple[str, FilePlace]]:
    for (_, _, *path), place in before.loaded.inputs.places.items():
        if place.file == file and place.text:
            yield dotted(path), place


def hold(before: State, after: State, file: str, keys: set[str]) -> None:
    """Assert that the report from `before` to `after` tells exactly what differs."""
    style = after.loaded.book.style
    report = change_report(before.results, after.results, ("before", "after"), printer=Printed(style))
    changed = {(change.file, change.key) for change in report.inputs}
    assert {(file, key) for key in keys} <= changed
    assert changed == differing(texts(before), texts(after))
    assert {change.id for change in report.figures} == moved_figures(before, after), f"{file}: {keys}"
    assert {change.id for change in report.findings} == moved_findings(before, after), f"{file}: {keys}"
    for kind, old, new in (("page", before.pages, after.pages), ("card", before.cards, after.cards)):
        told = {change.id for change in report.codes if change.kind == kind}
        assert told == differing(old, new), f"{file}: {keys}: {kind}"
    hold_codes(report, after)
    hold_explained(report, before, after)
    hold_work(report, before, after)


def hold_codes(report: ChangeReport, after: State) -> None:
    codes = {"card": after.loaded.book.card_codes, "page": after.results.codes["page"]}
    for change in report.codes:
        assert change.new == codes[change.kind].get(change.id)


def hold_explained(report: ChangeReport, before: State, after: State) -> None:
    """Whoever is told to reissue a card is told why: a figure on it moved, or words of it differ."""
    moved, words = {one.id for one in report.figures}, {one.site for one in report.words}
    for card in report.cards:
        shown = {*before.results.cards[card.id].figures, *after.results.cards[card.id].figures}
        assert shown & moved or card.id in words


# Figures that are installed, tightened or limited by hand: a move of one is told as work, or as none.
BY_HAND = re.compile(r"(torque|limit|circuit\.[^.]+\.(device|conductor|ground))")


def hold_work(report: ChangeReport, before: State, after: State) -> None:
    """Field work is told at every site whose card is exchanged or whose installed sizes moved, and at no other."""
    work = with_work(report, before.results, after.results, rules=RULES).work
    sites = {card.id for card in report.cards}
    by_hand = {one.id.split(".")[1]: one for one in report.figures if one.id.startswith("site.") and by_hand_of(one.id)}
    assert sites | set(by_hand) <= {one.site for one in work}
    told = sites | set(by_hand) | {one.subject for one in report.findings}
    inputs = {one.subject.partition(".")[2] for one in report.inputs}
    heaters = {view.spec.id: view.heater.id for view in after.loaded.book.sites}
    assert all(one.site in told or {one.site, heaters[one.site]} & inputs for one in work)
    for one in (one for one in by_hand.values() if one.id.endswith(".torque")):
        assert any(str(one.new) in item.text for item in work if item.site == one.id.split(".")[1])


def by_hand_of(id_: str) -> bool:
    return BY_HAND.fullmatch(id_.split(".", 2)[2]) is not None


def moved_figures(before: State, after: State) -> set[str]:
    style = after.loaded.book.style
    old, new = ({figure.id: printed(figure, style) for figure in figures(one)} for one in (before, after))
    return differing(old, new)


def texts(one: State) -> dict[tuple[str, str], str]:
    """The text of every value in the files, by file and key."""
    places = one.loaded.inputs.places.items()
    return {(place.file, dotted(path[2:])): place.text for path, place in places if place.text}


def figures(one: State) -> Iterator[Figure]:
    """Every computed figure, found by looking at all that a state holds."""
    left: list[object] = [one.loaded.results]
    while left:
        item = left.pop()
        if isinstance(item, Figure):
            yield item
        elif isinstance(item, tuple):
            left.extend(item)
        elif hasattr(item, "__dataclass_fields__"):
            left.extend(getattr(item, name) for name in item.__dataclass_fields__)


def printed(figure: Figure, style: Style) -> tuple[str, str, str]:
    return show(figure, style), figure.state, figure.reason


def moved_findings(before: State, after: State) -> set[str]:
    old, new = ({found.id: found.standing for found in one.loaded.results.findings} for one in (before, after))
    return differing(old, new, ("ok", False))


def differing(old: Mapping[Key, object], new: Mapping[Key, object], absent: object = None) -> set[Key]:
    return {key for key in {*old, *new} if old.get(key, absent) != new.get(key, absent)}
