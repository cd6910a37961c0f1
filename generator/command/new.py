"""The verb that begins things: new."""

from __future__ import annotations

import re
from pathlib import Path
from typing import Any

import click

from generator.command.starter import KINDS, MODEL_ID, add, begin, begin_demo
from generator.errors import HandbookError
from generator.folders import Folders
from generator.model.settings import ENGLISH, LANGUAGE
from generator.project import copied, project
from generator.render.lock import in_turn

FILE = "file"


@click.command("new")
@click.argument("what")
@click.argument("names", nargs=-1, metavar="[ID|PATH]...")
@click.option("--name", help="Of a new handbook: who publishes it.")
@click.option("--contact", help="Of a new handbook: whom its readers ask.")
@click.option("--language", default=ENGLISH, help="Of a new handbook: the tag of its language, such as es-MX.")
@click.option("--demo", is_flag=True, help="A new handbook with the demo in it, to look at.")
@click.pass_obj
def new_command(root: Path, /, what: str, names: tuple[str, ...], **of_new: Any) -> None:
    """Begin a handbook, or a model, site, rule or file of one. WHAT is a folder, or model, site, rule or file.

    \b
    handbook new FOLDER --name NAME --contact WHOM   a handbook of one model and one site, with example values
    ... --language es-MX                             in another language: a folder for its words, and its usual paper
    handbook new FOLDER --demo                       the demo, invented heaters and sites
    handbook new model ID, handbook new site ID      one more, with a comment at each key
    handbook new rule ID                             a rule of your own over computed figures
    handbook new file PATH...                        your own copy of a file of the program, to change

    A file of your own stands for the program's of the same path: a page, notice, word, table or font. `handbook check`
    says which you have, and when the program's has changed since; after comparing the two, `new file` notes that.
    """  # noqa: D301
    if what == FILE:
        _files(root, names)
    elif what in KINDS:
        _entries(project(root), what, names)
    else:
        _begin(root / what, names, **of_new)


def _files(root: Path, paths: tuple[str, ...]) -> None:
    if not paths:
        raise HandbookError("no file named; write a path such as content/pages/who-to-ask.md.j2")
    folders, paths = project(root), tuple(Path(path).as_posix() for path in paths)
    with in_turn(folders.root, folders.data, *((folders.root / path).parent for path in paths)):
        for path in paths:
            said = "is yours to change" if copied(folders.root, path) else "stays as it is, noted as compared"
            click.echo(f"{root / path} {said}")


def _entries(folders: Folders, kind: str, names: tuple[str, ...]) -> None:
    if not names:
        raise HandbookError(f"no id named; write one such as `handbook new {kind} wash-house`")
    heater = next((path.stem for path in sorted((folders.data / "models").glob("*.yaml"))), MODEL_ID)
    with in_turn(folders.root, folders.data / KINDS[kind]):
        for name in names:
            click.echo(add(folders.data, kind, name, heater=heater))


def _begin(
    folder: Path, names: tuple[str, ...], *, name: str | None, contact: str | None, language: str, demo: bool
) -> None:
    if names:
        raise HandbookError(f"'{names[0]}': one folder at a time; for more of one, model, site, rule or file first")
    if demo:
        click.echo(begin_demo(folder))
        return
    if not name or not contact:
        raise HandbookError("a new handbook needs --name, who publishes it, and --contact, whom its readers ask")
    if not re.fullmatch(LANGUAGE, language):
        raise HandbookError(f"'{language}' is no tag of a language; write one such as en, es or pt-BR")
    for path in begin(folder, name, contact, language=language):
        click.echo(path)
    click.echo(f"Replace the example values, then: cd {folder}; handbook check; handbook build; handbook card --all")
