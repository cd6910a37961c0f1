"""The verb that judges: check."""

from __future__ import annotations

import datetime

import click
from rich.console import Console

from generator.build import Folders, load
from generator.cli_options import on_day
from generator.errors import OpenStops
from generator.render.changes_report import cards_notice
from generator.render.findings_report import (
    escaped,
    findings_annotations,
    findings_json,
    findings_table,
    lapsed_decisions,
)


@click.command()
@click.option("--format", "form", type=click.Choice(["table", "json", "github"]), default="table", help="How to print.")
@click.option("--all", "everything", is_flag=True, help="Print the findings that are ok as well.")
@on_day
@click.pass_obj
def check(folders: Folders, form: str, everything: bool, *, day: datetime.datetime) -> None:
    """Judge every site and print the findings: stop, attention, and how many are ok.

    Then name the decisions that have lapsed, since what is found grew worse or their last day is before the day of
    `--on` (today where it is left out), and the sites whose printed card no longer says what holds, until the next
    `handbook release`.

    Exit status 2 when a site has a finding of severity stop without a decision that holds on that day.
    """
    loaded = load(folders)
    style = loaded.book.style
    results = loaded.judged_on(day.date())
    if form == "json":
        click.echo(findings_json(results, style))
    elif form == "github":
        click.echo(findings_annotations(loaded.inputs, results, style))
    else:
        findings_table(Console(soft_wrap=False), loaded.inputs, results, style=style, everything=everything)
    for line in lapsed_decisions(results.findings, style):
        click.echo(line, err=True)
    if notice := cards_notice(loaded.book.history):
        click.echo(
            f"::warning title=cards to reissue::{escaped(notice)}" if form == "github" else notice, err=form == "json"
        )
    if results.open_stops:
        raise OpenStops(results.open_stops)
