"""The verb that hands what is known to other programs: export."""

from __future__ import annotations

import datetime

import click

from generator.build import load
from generator.command.options import on_day, pass_folders
from generator.folders import Folders
from generator.render.export import Known, table_csv, tables, tables_json
from generator.render.files import write_if_changed
from generator.render.lock import only_writer


@click.command("export")
@click.argument("sites", nargs=-1, metavar="[SITE]...")
@click.option("--format", "form", type=click.Choice(["csv", "json", "xlsx"]), default="csv", show_default=True)
@on_day
@pass_folders
def export_command(folders: Folders, sites: tuple[str, ...], *, form: str, day: datetime.datetime) -> None:
    """Write findings, circuits, flows, cards, records and registers as tables to build/export/, of SITE or of all.

    A finding has its trade (content/trades.yaml), and where someone decided of it or a check is due, who and when.
    Numbers have columns of their own, with the unit in the head. No cell is a formula to a spreadsheet. As xlsx it is
    one workbook, handbook.xlsx, with a sheet a table.
    """
    loaded = load(folders).part(sites)
    made = tables(Known(loaded.book, loaded.judged_on(day.date()), loaded.inputs))
    folder = folders.output / "export"
    if form == "json":
        files = {"handbook.json": tables_json(made).encode()}
    elif form == "xlsx":
        from generator.render.workbook import workbook  # its library is needed by this form alone

        files = {"handbook.xlsx": workbook(made, loaded.inputs.settings.date)}
    else:
        files = {f"{name}.csv": table_csv(rows).encode() for name, rows in made.items() if rows}
    with only_writer(folder):
        for name, data in files.items():
            write_if_changed(folder / name, data)
            click.echo(folder / name)
