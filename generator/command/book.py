"""The verb of the bound book: print."""

from __future__ import annotations

from typing import Literal

import click

from generator.assemble.selection import site_book
from generator.command.editions import editions
from generator.command.options import pass_folders
from generator.command.progress import progress
from generator.folders import Folders
from generator.render.book.pdf import print_book
from generator.render.check.report import stands_open
from generator.render.files import write_if_changed
from generator.render.lock import only_writer
from generator.render.pages.write import render_pages


@click.command("print")
@click.option("--model", "models", multiple=True, metavar="ID", help="Only this heater model (may be repeated).")
@click.option("--site", "sites", multiple=True, metavar="ID", help="Only this site (may be repeated).")
@click.option("--only", metavar="SITE", help="A book for one site: its pages, its heater's, and the emergency page.")
@click.option("--paper", type=click.Choice(["letter", "a4"]), help="The paper (default: the handbook's).")
@click.option("--working", is_flag=True, help="Print the working of every figure too: about twice the pages.")
@pass_folders
def print_command(
    folders: Folders,
    models: tuple[str, ...],
    sites: tuple[str, ...],
    *,
    only: str | None,
    paper: Literal["letter", "a4"] | None,
    working: bool,
) -> None:
    """Print the whole handbook as one PDF, build/print/handbook.pdf, from the same pages as the site.

    With --model or --site, only those models and sites, and the pages that are for everyone. With --only, a book for
    one site, build/print/SITE-book.pdf: the site with the values for each task, its visits and open findings, the
    symptoms that apply with their questions, its heater, and the emergency page.
    """
    name = f"{only}-book.pdf" if only else "handbook.pdf"
    with progress() as told:
        for whole, folder in editions(folders, told):
            loaded = whole.part((only,) if only else sites, () if only else models)
            pages, book = render_pages(folders.content, loaded.book, progress=told), loaded.book
            if only:
                by_id = {one.page.id: one for one in pages}
                pages = tuple(by_id[id_] for id_ in site_book(by_id, only, book.sites[0].heater.id))
            told.step("setting the book")
            with only_writer(folder):
                pdf = print_book(folders.content, pages, book, paper=paper, working=working, short=only is not None)
                write_if_changed(folder / name, pdf)
            click.echo(f"book: {folder / name}")
    click.echo(stands_open(loaded.results, loaded.book.style))
