"""What several verbs of the command share: options, and the sites that are named."""

from __future__ import annotations

import datetime
from collections.abc import Callable, Mapping
from functools import wraps
from pathlib import Path
from typing import Any, TypeVar

import click

from generator.errors import HandbookError
from generator.folders import Folders
from generator.project import project, project_or_none

Named = TypeVar("Named")

on_day = click.option(
    "--on",
    "day",
    type=click.DateTime(["%Y-%m-%d"]),
    default=lambda: datetime.date.today().isoformat(),
    help="The day on which decisions are judged, such as 2026-12-16; today where it is left out.",
)

with_verbose = click.option("--verbose", is_flag=True, help="A line for each of them, with --all too.")


def pass_folders(verb: Callable[..., None]) -> Callable[..., None]:
    """Give a verb the folders of the project that the command names, laid out, before its own words."""
    return _with_folders(verb, project)


def pass_any_folders(verb: Callable[..., None]) -> Callable[..., None]:
    """Give a verb that can do without a handbook its folders, or where there is none what the program brings."""
    return _with_folders(verb, project_or_none)


def _with_folders(verb: Callable[..., None], laid_out: Callable[[Path], Folders]) -> Callable[..., None]:
    @click.pass_obj
    @wraps(verb)
    def called(root: Path, /, *words: Any, **more: Any) -> None:
        verb(laid_out(root), *words, **more)

    return called


def chosen(by_site: Mapping[str, Named], sites: tuple[str, ...], every: bool) -> dict[str, Named]:
    """Return what is named of what every site has. HandbookError for none named, or one that does not exist."""
    known = ", ".join(by_site)
    unknown = [site for site in sites if site not in by_site]
    if unknown:
        raise HandbookError(f"no site has the id {', '.join(unknown)}; the sites are {known}")
    if not sites and not every:
        raise HandbookError(f"no site named; name one or more of {known}, or say --all")
    return dict(by_site) if every else {site: by_site[site] for site in sites}
