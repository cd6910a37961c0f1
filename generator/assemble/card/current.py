"""Whether a printed card is current, and what differs on it where it is not."""

from __future__ import annotations

from generator.model.documents.change_report import CardReport, ChangeReport
from generator.model.documents.results_file import StoredCard, StoredResults

_NO_CARD = StoredCard((), ())


def site_of(code: str, results: StoredResults) -> str | None:
    """Return the site whose card bears `code` in these results, if any."""
    return next((site for site, known in results.codes.get("card", {}).items() if known == code), None)


def card_report(code: str, site: str, then: StoredResults, *, now: StoredResults, report: ChangeReport) -> CardReport:
    """Return what differs between the card of `site` as it was `then` and as it is `now`.

    `report` is what moved from `then` to `now`; its `old` names the release that printed the card.
    """
    before, after = then.cards.get(site, _NO_CARD), now.cards.get(site, _NO_CARD)
    shown = {*before.figures, *after.figures}
    return CardReport(
        code=code,
        site=site,
        title=report.titles.get(f"site.{site}", site),
        release=report.old,
        now=now.codes.get("card", {}).get(site),
        figures=tuple(change for change in report.figures if change.id in shown),
        words=next((change for change in report.words if change.site == site), None),
    )
