"""The demo that ships shows what checks look like: a site sound over its whole band, and every rule where it bites.

Only where the demo is asked for: a writer's own sites need show nothing.
"""

from __future__ import annotations

from generator.build import Loaded
from generator.model.finding_rules import NOT_JUDGED, STOP_NOT_JUDGED
from generator.rules import declared_rules

# Rules that no demo can show at attention or stop, with the reason.
NEVER_SHOWN = {
    "not-judged": "its words stand under the rules that wait, in its cases",
    "own-rule": "the demo has no rule of its own",
    "element-subdivision": "a model above 48 A that is not subdivided is refused before a circuit is sized",
}
# What is judged at the adverse end of the band.
OVER_THE_BAND = (
    "hottest-water",
    "tankless-limit",
    "greatest-outlet",
    "inlet-limit",
    "cold-pipe-rating",
    "working-pressure",
    "working-flow",
    "pressure-sag",
    "mixing-valve",
)


def test_the_demo_shows_every_rule_where_it_bites(shipped: Loaded) -> None:
    shown = {
        found.rule
        for found in shipped.results.findings
        if found.severity != "ok" and found.case not in (NOT_JUDGED, STOP_NOT_JUDGED)
    }
    waiting = {found.case for found in shipped.results.findings} & {NOT_JUDGED, STOP_NOT_JUDGED}
    assert set(declared_rules()) - shown == set(NEVER_SHOWN)
    assert waiting == {NOT_JUDGED, STOP_NOT_JUDGED}


def test_a_site_of_the_demo_is_sound_over_its_whole_band(shipped: Loaded) -> None:
    sound = [
        site.id
        for site in shipped.results.sites
        if all(found.severity == "ok" for found in site.findings if found.rule in OVER_THE_BAND)
    ]
    assert sound
