"""A share of the sites judged apart from the others: a pure function of what it is given, on whatever machine."""

from __future__ import annotations

import datetime
import hashlib
from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass, replace
from functools import cache
from itertools import islice
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


def shares(
    inputs: Inputs,
    sites: Iterable[Site],
    day: datetime.date | None,
    *,
    most: int = SITES,
    beside: Callable[..., tuple[Site, ...]] | None = None,
) -> Iterator[Share]:
    """Yield all of `sites` in shares of at most so many, in order; no more of `sites` is taken than a share needs.

    A share's inputs hold, besides its own sites, those on a panel or a water source of one of them: `beside` finds
    them, else `inputs` does.
    """
    common = replace(inputs, sites=(), places={}, records=(), installed={})
    waiting = iter(sites)
    while own := tuple(islice(waiting, most)):
        near = (beside or inputs.beside)(*own)
        with_others = {site.id for site in near}
        yield Share(
            replace(
                common,
                sites=(*near, *(site for site in own if site.id not in with_others)),
                records=tuple(record for site in own for record in inputs.records_of(site)),
                installed={site.id: inputs.installed[site.id] for site in own if site.id in inputs.installed},
            ),
            own,
            day,
        )


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
