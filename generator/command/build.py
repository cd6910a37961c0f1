"""The verb that writes the handbook: build."""

from __future__ import annotations

import click

from generator.build import build
from generator.command.options import pass_folders
from generator.command.progress import progress
from generator.folders import Folders
from generator.render.check.report import stands_open
from generator.render.site.engine import ENGINES


@click.command("build")
@click.option("--engine", type=click.Choice(ENGINES), default="mkdocs", help="What turns the pages into a site.")
@pass_folders
def build_command(folders: Folders, engine: str) -> None:
    """Write the handbook to build/site/ and every figure to build/results.json.

    The new handbook takes the old one's place in one step, when all of it is done: a build that fails, or is stopped,
    leaves the last good one whole. Findings do not stop a build; they are printed on the pages.
    """
    with progress() as told:
        loaded = build(folders, engine, told)
    click.echo(f"handbook: {folders.output / 'site' / 'index.html'}")
    click.echo(f"figures:  {folders.output / 'results.json'}")
    click.echo(stands_open(loaded.results, loaded.book.style))
