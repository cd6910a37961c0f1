"""Whom to call at a site, where to shut off, and what was agreed there: shown to people, computed with nowhere."""

from __future__ import annotations

from typing import Annotated

from generator.model.scalars import Date, Matching, Strict, Text

Telephone = Annotated[
    str,
    Matching(r"\+?[0-9][0-9 ()./-]{1,18}[0-9]|[0-9]{2,3}", "write a telephone number such as 911 or 555-0142"),
]


class Contacts(Strict):
    """Telephone numbers: `emergency` for danger to life, `maintenance` for the heater and its supplies."""

    emergency: Telephone | None = None
    maintenance: Telephone | None = None


class Shutoffs(Strict):
    """Where the power of the heater is switched off nearest to it, and where its water is shut off, in words."""

    power: Text | None = None
    water: Text | None = None


class Permit(Strict):
    """The permit that the work was done under."""

    number: Text
    authority: Text
    date: Date


class LocalRule(Strict):
    """What an authority asks for at this site beyond the codes: the rule in its own words, its clause and its day."""

    rule: Text
    authority: Text
    clause: Text
    date: Date
