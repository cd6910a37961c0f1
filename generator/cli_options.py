"""The options that several verbs of the command share."""

from __future__ import annotations

import datetime

import click

on_day = click.option(
    "--on",
    "day",
    type=click.DateTime(["%Y-%m-%d"]),
    default=lambda: datetime.date.today().isoformat(),
    help="The day on which decisions are judged, such as 2026-12-16; today where it is left out.",
)
