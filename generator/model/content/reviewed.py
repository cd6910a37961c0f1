"""Who has reviewed a translation of what keeps people alive (content/<language>/reviewed.yaml)."""

from __future__ import annotations

from generator.model.scalars import Date, Strict, Text


class Reviewed(Strict):
    """By whom, competent in the work and in both languages, and on which day."""

    reviewed_by: Text
    date: Date
