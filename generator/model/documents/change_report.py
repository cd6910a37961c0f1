"""What moved between two runs: the change report, in the words a reader sees.

Limits that count as crossed: a figure's state changed (above limit, not closed …), a flow window opened or closed, a
size or count that is bought and installed stepped (STEPPED), and a finding's severity changed.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Literal

# The last part of the ids of figures that are chosen from a series: another value is another thing to install.
STEPPED = (
    "device",
    "poles",
    "conductor",
    "conductors",
    "ground",
    "conductor-for-drop",
    "ground-for-drop",
    "stage",
    "torque",
)

# How grave a finding stands, by severity and decision; one that is not there weighs nothing.
STANDINGS = {
    "ok": 0,
    "attention, settled": 1,
    "attention": 2,
    "attention, lapsed": 2,
    "stop, accepted": 3,
    "stop, waived": 3,
    "stop": 4,
    "stop, lapsed": 4,
}


SETTINGS = "site_data/handbook.yaml"
# What a model's file says that makes no other heater of it.
NO_VALUES = ("title", "summary", "date", "nameplate", "listing_to_verify")


@dataclass(frozen=True, slots=True)
class InputChange:
    """An input value that differs; `old` or `new` is None where the key is only on one side.

    `subject` is the model or site whose file it is, as in the ids of figures; "" for a file that serves all of them.
    """

    subject: str
    file: str
    key: str
    old: str | None
    new: str | None

    @property
    def folder(self) -> str:
        """The folder (or the file, where it stands in none) whose keys are counted and not listed one by one: this one
        stands on one side only, in a file of tables or records. Empty for any other."""
        if self.subject or self.file == SETTINGS or None not in (self.old, self.new):
            return ""
        name = self.file.removeprefix("site_data/")
        return name.rpartition("/")[0] or name


@dataclass(frozen=True, slots=True)
class FolderChange:
    """How many keys of so many files in a folder are there on the new side only, and on the old side only."""

    folder: str
    files: int
    added: int
    gone: int


@dataclass(frozen=True, slots=True)
class FigureChange:
    """A computed figure whose shown text differs. `crossing` says which limit was crossed, empty for none.

    `share`: how far it moved, as a share of its larger value, a temperature of 100 K; 0 of what no card shows by
    itself.
    """

    id: str
    name: str
    old: str | None
    new: str | None
    difference: str
    crossing: str
    share: float = 0.0


@dataclass(frozen=True, slots=True)
class FindingChange:
    """A finding whose severity or decision differs, None where it is only on one side; `line`: what is or was found."""

    id: str
    subject: str
    old: str | None
    new: str | None
    line: str = ""

    @property
    def of(self) -> str:
        """The model or site that it is about, as in the ids of figures."""
        return self.subject if "." in self.subject else f"site.{self.subject}"

    @property
    def worse(self) -> bool:
        """Whether it is graver than before."""
        old, new = (STANDINGS[standing] if standing else 0 for standing in (self.old, self.new))
        return new > old


@dataclass(frozen=True, slots=True)
class CodeChange:
    """A page or card whose revision code differs: `id` is the site id or the page id."""

    kind: Literal["card", "page"]
    id: str
    old: str | None
    new: str | None


@dataclass(frozen=True, slots=True)
class WordsChange:
    """The lines of words on a site's card that are no longer there, and those that are new."""

    site: str
    gone: tuple[str, ...]
    added: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Work:
    """What a person must go and do at a site, by which rule, why, and of which trade; `needed` is whether there is work
    at all, or only word that there is none."""

    site: str
    rule: str
    needed: bool
    text: str
    why: str
    trade: str


@dataclass(frozen=True, slots=True)
class ChangeReport:
    """Everything that moved from `old` to `new` (names of the two sides). `titles`: subject -> its title.

    `work` is what must be done in the field for it, site by site.
    """

    old: str
    new: str
    notes: tuple[str, ...]
    inputs: tuple[InputChange, ...]
    figures: tuple[FigureChange, ...]
    findings: tuple[FindingChange, ...]
    codes: tuple[CodeChange, ...]
    words: tuple[WordsChange, ...]
    titles: Mapping[str, str]
    work: tuple[Work, ...] = ()

    @property
    def stated(self) -> tuple[InputChange, ...]:
        """The inputs to list one by one: all but those that `folders` counts."""
        return tuple(change for change in self.inputs if not change.folder)

    @property
    def folders(self) -> tuple[FolderChange, ...]:
        """The keys that came to, or left, the files of a folder, by folder."""
        within: dict[str, list[InputChange]] = {}
        for change in self.inputs:
            if change.folder:
                within.setdefault(change.folder, []).append(change)
        return tuple(
            FolderChange(
                folder,
                len({one.file for one in changes}),
                sum(one.old is None for one in changes),
                sum(one.new is None for one in changes),
            )
            for folder, changes in within.items()
        )

    @property
    def unrevised(self) -> Mapping[str, tuple[str, ...]]:
        """The keys whose values changed in the file of each model with the same revision on both sides, by model id."""
        keys: dict[str, list[str]] = {}
        for change in self.inputs:
            if change.subject.startswith("model."):
                keys.setdefault(change.subject.removeprefix("model."), []).append(change.key)
        return {
            model: values
            for model, changed in keys.items()
            if not {"id", "revision"} & set(changed)
            and (values := tuple(key for key in changed if key.partition(".")[0] not in NO_VALUES))
        }

    @property
    def crossings(self) -> tuple[FigureChange, ...]:
        """The figures that crossed a limit."""
        return tuple(change for change in self.figures if change.crossing)

    @property
    def cards(self) -> tuple[CodeChange, ...]:
        """The cards that differ: to print, to collect and print again, or to collect."""
        return tuple(change for change in self.codes if change.kind == "card")

    @property
    def pages(self) -> tuple[CodeChange, ...]:
        """The pages that differ."""
        return tuple(change for change in self.codes if change.kind == "page")

    @property
    def touches_safety(self) -> bool:
        """Whether a limit was crossed, a finding changed, or a printed card went stale."""
        return bool(self.crossings or self.findings or self.cards)

    @property
    def empty(self) -> bool:
        """Whether nothing moved at all."""
        return not (self.inputs or self.figures or self.findings or self.codes)


@dataclass(frozen=True, slots=True)
class CardReport:
    """Whether a printed card is current. `now` is the site's code today (None: it has no card any more).

    `release` names the release that printed it, None where it is today's; `figures` are those of the card that moved,
    `words` its words that differ, if any do.
    """

    code: str
    site: str
    title: str
    release: str | None
    now: str | None
    figures: tuple[FigureChange, ...] = ()
    words: WordsChange | None = None

    @property
    def current(self) -> bool:
        """Whether the card may go on hanging where it hangs."""
        return self.code == self.now


def subject_of(figure_id: str) -> str:
    """Return the subject of a figure id: `site.potting-shed` of `site.potting-shed.circuit.a.device`."""
    return ".".join(figure_id.split(".")[:2])
