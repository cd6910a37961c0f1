"""Where each site stands, in words: for documents, which never judge a day, and for `handbook check`, which does."""

from __future__ import annotations

import csv
import datetime
import io
from collections.abc import Iterator

from generator.compute.verdict.status import status
from generator.model.content.words import Words
from generator.model.inputs import Inputs
from generator.model.records import Status
from generator.model.results import Results
from generator.render.cells import harmless

COLUMNS = ("id", "title", "status", "commissioned", "next_check", "overdue", "stops", "attentions")


def status_words(found: Status, words: Words) -> str:
    """Return a status as a reader sees it, such as `Commissioned 2026-11-20, next check due 2027-11`."""
    if found.commissioned is None or found.due is None:
        return words.status[found.word]
    return words.status[found.word].format(date=found.commissioned.isoformat(), due=f"{found.due:%Y-%m}")


def overdue_checks(results: Results, day: datetime.date, words: Words) -> list[str]:
    """Return the sites whose next check was due before a day, a line each."""
    found = ((site.id, status(site).due) for site in results.sites)
    return [f"{id_}: {words.status['overdue'].format(due=due.isoformat())}" for id_, due in found if due and due < day]


def site_rows(inputs: Inputs, results: Results, day: datetime.date) -> Iterator[dict[str, str | int | bool]]:
    """Yield where each site stands on a day, by COLUMNS, for programs."""
    for site, result in zip(inputs.sites, results.sites, strict=True):
        found = status(result)
        severities = [one.severity for one in (*result.findings, *result.measured) if not one.decided]
        yield {
            "id": site.id,
            "title": site.title,
            "status": found.word,
            "commissioned": found.commissioned.isoformat() if found.commissioned else "",
            "next_check": found.due.isoformat() if found.due else "",
            "overdue": bool(found.due and found.due < day),
            "stops": severities.count("stop"),
            "attentions": severities.count("attention"),
        }


def sites_csv(inputs: Inputs, results: Results, day: datetime.date) -> str:
    """Return where each site stands on a day as comma-separated values, a site a line."""
    text = io.StringIO()
    writer = csv.DictWriter(text, COLUMNS, lineterminator="\n")
    writer.writeheader()
    for row in site_rows(inputs, results, day):
        texts = row | {"overdue": "yes" if row["overdue"] else "no"}
        writer.writerow({key: harmless(cell) for key, cell in texts.items()})
    return text.getvalue()
