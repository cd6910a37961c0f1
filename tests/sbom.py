"""What a release of the program is made of: `python -m tests.sbom FILE` writes a CycloneDX bill of materials.

Every package that runs with it, with the version and the digests that requirements.txt pins, its licence and what it
needs in turn; not those that only tests need. The same packages give the same bytes: no time, no random number. What a
built handbook carries is told in its licences.html.
"""

import re
import sys
from collections.abc import Iterator
from importlib import metadata
from pathlib import Path

from cyclonedx.contrib.license.factories import LicenseFactory
from cyclonedx.model import HashAlgorithm, HashType
from cyclonedx.model.bom import Bom
from cyclonedx.model.component import Component, ComponentType
from cyclonedx.output.json import JsonV1Dot6
from packageurl import PackageURL
from packaging.requirements import Requirement
from packaging.utils import canonicalize_name

from generator import __version__

ROOT = Path(__file__).parents[1]
PROJECT = "staged-heater-handbook"
_PINNED = re.compile(r"^([\w.-]+)==(\S+)|--hash=sha256:([0-9a-f]{64})", re.MULTILINE)


def pins(lock: str) -> dict[str, tuple[str, tuple[str, ...]]]:
    """Return the version and the digests of every package that a lock file pins, by name."""
    found: dict[str, tuple[str, tuple[str, ...]]] = {}
    name = ""
    for pinned, version, digest in _PINNED.findall(lock):
        if pinned:
            name = canonicalize_name(pinned)
            found[name] = version, ()
        else:
            found[name] = found[name][0], (*found[name][1], digest)
    return found


def needed(name: str) -> Iterator[str]:
    """Yield the names of the packages that one needs on this machine, by its metadata."""
    for text in metadata.requires(name) or ():
        wanted = Requirement(text)
        if wanted.marker is None or wanted.marker.evaluate({"extra": ""}):
            yield canonicalize_name(wanted.name)


def closure(names: list[str]) -> dict[str, tuple[str, ...]]:
    """Return the packages with all that they need in turn, each with its own needs, in order of name."""
    known: dict[str, tuple[str, ...]] = {}
    waiting = list(names)
    while waiting:
        name = waiting.pop()
        if name not in known:
            known[name] = tuple(sorted(set(needed(name))))
            waiting += known[name]
    return dict(sorted(known.items()))


def declared() -> list[str]:
    """Return the names of the packages that pyproject.toml says the program needs."""
    import tomllib

    project = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))["project"]
    return [canonicalize_name(Requirement(text).name) for text in project["dependencies"]]


def component(name: str, version: str, digests: tuple[str, ...]) -> Component:
    """Return a package as a component: its licence is the one that its metadata names."""
    about = metadata.metadata(name)
    told = about.get("License-Expression") or about.get("License") or ""
    classed = [one.rpartition(" :: ")[2] for one in about.get_all("Classifier") or () if one.startswith("License ::")]
    licence = told if told not in ("", "UNKNOWN") and "\n" not in told else next(iter(classed), "")
    return Component(
        name=name,
        version=version,
        type=ComponentType.LIBRARY,
        bom_ref=f"{name}=={version}",
        purl=PackageURL("pypi", name=name, version=version),
        licenses=[LicenseFactory().make_from_string(licence)] if licence else [],
        hashes=[HashType(alg=HashAlgorithm.SHA_256, content=digest) for digest in digests],
    )


def bill(lock: str) -> Bom:
    """Return the bill of materials of the program. KeyError for a package that the lock does not pin."""
    pinned, direct = pins(lock), declared()
    program = Component(
        name=PROJECT,
        version=__version__,
        type=ComponentType.APPLICATION,
        bom_ref=f"{PROJECT}=={__version__}",
        licenses=[LicenseFactory().make_from_string("MIT")],
    )
    made = Bom()
    made.metadata.component, made.metadata.timestamp = program, None  # type: ignore[assignment]
    made.serial_number = None  # type: ignore[assignment]
    needs = closure(direct)
    parts = {name: component(name, *pinned[name]) for name in needs}
    for name, part in parts.items():
        made.components.add(part)
        made.register_dependency(part, [parts[other] for other in needs[name]])
    made.register_dependency(program, [parts[name] for name in direct])
    return made


def written(lock: str) -> str:
    """Return the bill as JSON, the same for the same packages."""
    return re.sub(r'\n  "serialNumber": "[^"]*",', "", JsonV1Dot6(bill(lock)).output_as_string(indent=2)) + "\n"


if __name__ == "__main__":
    Path(sys.argv[1]).write_text(written((ROOT / "requirements.txt").read_text(encoding="utf-8")), encoding="utf-8")
