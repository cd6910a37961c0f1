"""The verb that helps editors: schema."""

from __future__ import annotations

import click

from generator.command.options import pass_folders
from generator.folders import Folders
from generator.read.content.key_words import read_key_words
from generator.read.json_schema import schemas
from generator.render.files import write_if_changed
from generator.render.json_file import pretty_bytes
from generator.render.lock import only_writer


@click.command("schema")
@pass_folders
def schema_command(folders: Folders) -> None:
    """Write a JSON Schema for each kind of YAML file to site_data/schema/, for editors that check as you type.

    Beside them stands that of build/results.json, for other programs.

    The first line of each YAML file (`# yaml-language-server: $schema=…`) tells the editor which one to use.
    """
    folder = folders.data / "schema"
    with only_writer(folders.output, folder):
        for kind, schema in schemas(read_key_words(folders.content)).items():
            path = folder / f"{kind}.schema.json"
            write_if_changed(path, pretty_bytes(schema))
            click.echo(path)
