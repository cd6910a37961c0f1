"""The verb of the command that puts the handbook where others read it: publish."""

from __future__ import annotations

from pathlib import Path

import click

from generator.command.options import pass_folders
from generator.command.progress import progress
from generator.folders import Folders
from generator.published import publish_versions
from generator.render.check.report import stands_open
from generator.render.site.versions import LIST


@click.command("publish")
@click.argument("folder", type=click.Path(path_type=Path))
@pass_folders
def publish_command(folders: Folders, folder: Path) -> None:
    """Build the handbook and put it into FOLDER with every release, each under an address of its own.

    FOLDER/index.html is the present text, where the addresses on cards lead: a page opened from a card says whether
    that card is still the one that holds. FOLDER/releases/ lists the releases; each page of one says that it is
    superseded, and by which. A release made before they kept their pages is listed without.

    FOLDER is plain files for a web server, a branch that a host serves, or a memory stick. It is new, empty, or
    published to before; all of it is replaced in one step, or nothing. Findings do not stop it; pages show them.
    """
    with progress() as told:
        loaded = publish_versions(folders, folder, told)
    click.echo(f"handbook: {folder / 'index.html'}")
    click.echo(f"releases: {folder / LIST}")
    click.echo(stands_open(loaded.results, loaded.book.style))
