"""The verb that hands what is known to other programs: export."""

from __future__ import annotations

import datetime
from typing import cast, get_args

import click

from generator.build import load_told
from generator.command.options import chosen, on_day, pass_folders
from generator.fleet.results import computed
from generator.folders import Folders
from generator.read.handbook import read_handbook
from generator.render.export import Known, table_csv, tables, tables_json
from generator.render.files import write_if_changed
from generator.render.lock import only_writer
from generator.render.result_rows import COLUMNS, figure_rows, finding_rows, value_rows
from generator.render.row_files import Form, row_files


@click.command("export")
@click.argument("sites", nargs=-1, metavar="[SITE]...")
@click.option(
    "--format", "form", type=click.Choice(["csv", "json", "xlsx", "jsonl", "parquet"]), default="csv", show_default=True
)
@on_day
@pass_folders
def export_command(folders: Folders, sites: tuple[str, ...], *, form: str, day: datetime.datetime) -> None:
    """Write findings, circuits, flows, cards, records and registers as tables to build/export/, of SITE or of all.

    A finding has its trade (content/trades.yaml), and where someone decided of it or a check is due, who and when.
    Numbers have columns of their own, with the unit in the head. No cell is a formula to a spreadsheet. As xlsx it is
    one workbook, handbook.xlsx, with a sheet a table.

    As jsonl (a line of JSON a row) and parquet it is what is computed, for programs and for many sites: findings, the
    values that they rest on, and figures, in codes and SI numbers, without a word and not rounded.
    """
    if form in get_args(Form):
        _export_results(folders, sites, day.date(), form=cast(Form, form))
        return
    loaded = load_told(folders).part(sites)
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


def _export_results(folders: Folders, sites: tuple[str, ...], day: datetime.date, *, form: Form) -> None:
    """Write the tables of results, a site after the other, so that as many fit as there are."""
    inputs, folder = read_handbook(folders.data, folders.tables), folders.output / "export"
    named = chosen({site.id: site for site in inputs.sites}, sites, not sites).values()
    revision = str(inputs.settings.revision)
    with only_writer(folder):
        with row_files(folder, form) as write:
            for one in computed(inputs, named, day):
                write("findings", finding_rows(one.findings, revision))
                write("values", value_rows(one.findings, revision))
                write("figures", figure_rows(one.figures, one.subject, revision))
        for table in COLUMNS:
            click.echo(folder / f"{table}.{form}")
