"""What the calculator of a site's pocket page looks up: numbers in SI, so that the page needs no formula of its own."""

from __future__ import annotations

from dataclasses import dataclass

Numbers = tuple[float, ...]


@dataclass(frozen=True, slots=True)
class LineAmps:
    """Amps of one line of a feed: what the squares of the volts of each pair read at the heater are weighted with to
    give the square of the current [S²], and at the stated supply with its wire's loss [A]."""

    feed: str
    line: str
    squares_s2: Numbers
    unread_a: float


@dataclass(frozen=True, slots=True)
class StageTable:
    """The heater with stages 1 to `number` on, by volts read at the heater, and where nobody read them.

    `power_s`: what the squares of the volts of each pair are weighted with to give the power [S]; `unread_w`: the power
    at the stated supply with the loss of its wires [W]; `drops_out_m3_s`: the flow below which a sound heater does not
    hold them all [m3/s]; `next_on_m3_s`: that from which it has one more on, None where none follows by itself.
    """

    number: int
    power_s: Numbers
    unread_w: float
    lines: tuple[LineAmps, ...]
    drops_out_m3_s: float
    next_on_m3_s: float | None


@dataclass(frozen=True, slots=True)
class AllowedToday:
    """The hottest reading allowed: what a volume may take of heat at the greatest voltage [J/m3], and what the cut-out
    holds where that keeps the limit [K], else zero."""

    heat_j_m3: float
    held_k: float


@dataclass(frozen=True, slots=True)
class PocketTables:
    """The tables of one site.

    `heat_j_m3`: by inlet and by outlet, each one of `temperatures_k`, what a volume of water metered at the inlet takes
    up [J/m3], below zero where the outlet is the colder; `volts`: beyond these ends no such heater runs [V]; `pairs`:
    the pairs of lines between which volts are read, in the order of the weights; `input`: between which parts of the
    nameplate's power a sound heater lies; `supply_v` and `inlet_k`: between which ends supply and inlet are in service;
    `summer_k`: the warmest inlet [K], `summer_j_m3`: the most heat that a volume takes up there at the nameplate's
    power and the greatest voltage; `limit_k`: the limit that no mixing valve holds [K], None where each fixture has
    such a valve.
    """

    temperatures_k: Numbers
    heat_j_m3: tuple[Numbers, ...]
    volts: tuple[float, float]
    pairs: tuple[str, ...]
    stages: tuple[StageTable, ...]
    input: tuple[float, float]
    supply_v: tuple[float, float]
    inlet_k: tuple[float, float]
    cut_out_k: float
    summer_k: float
    summer_j_m3: float
    limit_k: float | None
    allowed: AllowedToday | None
