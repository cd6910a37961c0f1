"""A share of the sites judged apart from the others: a pure function of what it is given, on whatever machine."""

from __future__ import annotations

import datetime
import hashlib
from collections import defaultdict
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from functools import cache
from pathlib import Path

from generator.compute.site import judge_site
from generator.compute.verdict.decisions import on_day
from generator.errors import CannotCompute
from generator.model.inputs import Inputs
from generator.model.site import Site
from generator.render.check.programs import findings_codes

SITES = 200  # of a share: a second of work or so, and half a megabyte to send


@dataclass(frozen=True, slots=True)
class Share:
    """Sites to judge as decisions stand on a day. `inputs`: what their verdicts rest on and no more, without places."""

    inputs: Inputs
    sites: tuple[Site, ...]
    day: datetime.date | None


@dataclass(frozen=True, slots=True)
class Refused:
    """A site that cannot be computed, and why: the parts of `CannotCompute`."""

    site: str
    where: tuple[str | int, ...]
    wrong: str
    expected: str


@dataclass(frozen=True, slots=True)
class Judged:
    """What was found at the sites of a share: a line of JSON a finding, the ids of stops without a decision that holds.

    `program`: the digest of the program that judged.
    """

    lines: tuple[str, ...]
    stops: tuple[str, ...]
    refused: tuple[Refused, ...]
    program: str


def shares(inputs: Inputs, sites: Sequence[Site], day: datetime.date | None, *, most: int = SITES) -> Iterator[Share]:
    """Yield all of `sites` in shares of at most so many, in order.

    A share's inputs hold, besides its own sites, those on a panel or a water source of one of them.
    """
    common = replace(inputs, sites=(), places={}, records=(), installed={})
    places = {site.id: place for place, site in enumerate(inputs.sites)}
    beside: dict[tuple[str, str], list[int]] = defaultdict(list)
    for place, site in enumerate(inputs.sites):
        for named in _shared(site):
            beside[named].append(place)
    records = defaultdict(list)
    for record in inputs.records:
        records[record.site].append(record)
    for start in range(0, len(sites), most):
        own = tuple(sites[start : start + most])
        near = {places[site.id] for site in own} | {
            at for site in own for named in _shared(site) for at in beside[named]
        }
        yield Share(
            replace(
                common,
                sites=tuple(inputs.sites[at] for at in sorted(near)),
                records=tuple(record for site in own for record in records[site.id]),
                installed={site.id: inputs.installed[site.id] for site in own if site.id in inputs.installed},
            ),
            own,
            day,
        )


def _shared(site: Site) -> Iterator[tuple[str, str]]:
    """Yield what a site has in common with all others that name it."""
    if site.supply.panel.id is not None:
        yield "panel", site.supply.panel.id
    if site.water.source is not None and site.water.source.id is not None:
        yield "source", site.water.source.id


def judge(share: Share) -> Judged:
    """Return what is found at the sites of a share."""
    lines, stops, refused = list[str](), list[str](), list[Refused]()
    for site in share.sites:
        try:
            found = [on_day(one, share.day) for one in judge_site(site, share.inputs)]
        except CannotCompute as refusal:
            refused.append(Refused(site.id, refusal.where, refusal.wrong, refusal.expected))
        else:
            lines.append(findings_codes(found))
            stops += [one.id for one in found if one.severity == "stop" and not one.decided]
    return Judged(tuple(lines), tuple(stops), tuple(refused), program())


@cache
def program() -> str:
    """Return a digest of the program that runs here: where it differs, verdicts may."""
    package = Path(__file__).parents[1]
    digest = hashlib.sha256()
    for path in sorted(package.rglob("*.py")):
        digest.update(path.relative_to(package).as_posix().encode() + b"\0" + path.read_bytes() + b"\0")
    return digest.hexdigest()[:16]
