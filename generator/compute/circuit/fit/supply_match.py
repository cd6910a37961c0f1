"""Whether the supply suits the heater: voltage, frequency, phases, neutral."""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from generator.compute.circuit.load import HIGHEST_SUPPLY_RATIO
from generator.compute.circuit.supply_connection import SupplyConnection
from generator.compute.circuit.values import count, percent, text, volts
from generator.compute.heat.balance import power_at_voltage_w
from generator.compute.severity import ok_or_attention, ok_or_stop
from generator.compute.verdict.supply import is_ordinary
from generator.model.figures import Severity, Value
from generator.model.finding_rules import Judgement, Rule
from generator.model.heater import HeaterModel, Rating
from generator.model.site import Site, VoltageRange
from generator.model.tables.tolerances import ServiceVoltage

# Supply over rated voltage. The two limits at which we say stop are this handbook's own: above, the elements outrun
# their circuit; below, a heater so starved is on the wrong system.
LOWEST = 0.80
SAME_FREQUENCY_HZ = 0.5

VOLTAGES = ("supply", "rated", "power", "rated_power", "share")
FAR = (*VOLTAGES, "other")
VOLTAGE = Rule(
    "supply-voltage",
    {case: VOLTAGES for case in ("ordinary", "low", "high", "range-low", "range-high", "range-far-above")}
    | {"far-below": FAR, "far-above": FAR},
    stops=("range-far-above", "far-below", "far-above"),
)
FREQUENCIES = ("supply", "rated")
FREQUENCY = Rule("supply-frequency", {"same": FREQUENCIES, "other": FREQUENCIES})
PHASE_VALUES = ("panel", "supply", "how")
PHASES = Rule(
    "supply-phases",
    {"served": PHASE_VALUES, "not-served": PHASE_VALUES},
    choices={"how": ("three-lines", "line-and-neutral", "two-lines")},
    stops=("not-served",),
)
NEUTRAL_VALUES = ("needed", "there")
NEUTRAL = Rule(
    "supply-neutral",
    {"fits": NEUTRAL_VALUES, "missing": NEUTRAL_VALUES, "not-stated": NEUTRAL_VALUES},
    choices={"needed": ("yes", "no"), "there": ("yes", "no", "not-stated")},
    stops=("missing",),
)


def supply_voltage(
    connection: SupplyConnection,
    sources: Mapping[str, str],
    service: ServiceVoltage,
    *,
    ratings: Iterable[Rating] = (),
    known: VoltageRange | None = None,
) -> Judgement:
    """Judge the supply voltage against the rated one and its range in service; power and rise go with the square.

    `known`, what the site states of its range: where only an end of it is out of service, `attention`, at that end.
    But `stop` where it rises beyond what stops as stated: a supply that is known to go there takes the elements there.
    Where it stops, one of `ratings`, the heater's, that is for one phase and fits across two of three lines is named.
    """
    rating, ratio = connection.rating, connection.ratio
    source, values = sources[VOLTAGE.name], _voltages(rating, connection.voltage_v)
    if is_ordinary(connection.voltage_v, rating.voltage_v, service):
        for case, end_v in (("range-high", known.greatest_v), ("range-low", known.least_v)) if known else ():
            if end_v > HIGHEST_SUPPLY_RATIO * rating.voltage_v * (1.0 + 1e-9):
                return VOLTAGE.judge("range-far-above", "stop", _voltages(rating, end_v), source=source)
            if not is_ordinary(end_v, rating.voltage_v, service):
                return VOLTAGE.judge(case, "attention", _voltages(rating, end_v), source=source)
        return VOLTAGE.judge("ordinary", "ok", values, source=source)
    severity: Severity = "attention" if LOWEST <= ratio <= HIGHEST_SUPPLY_RATIO else "stop"
    single = (one.voltage_v for one in ratings if one.phases == 1 and connection.phases == 3)
    others = [rated_v for rated_v in single if is_ordinary(connection.voltage_v, rated_v, service)]
    other = (volts("other", others[0]),) if severity == "stop" and others else ()
    return VOLTAGE.judge(_case(ratio), severity, (*values, *other), source=source)


def _voltages(rating: Rating, supply_v: float) -> tuple[Value, ...]:
    power = power_at_voltage_w(rating.power_w, rating.voltage_v, supply_v)
    return (
        volts("supply", supply_v),
        volts("rated", rating.voltage_v),
        Value("power", power, "power"),
        Value("rated_power", rating.power_w, "power"),
        percent("share", (supply_v / rating.voltage_v) ** 2),
    )


def _case(ratio: float) -> str:
    if ratio > 1.0:
        return "far-above" if ratio > HIGHEST_SUPPLY_RATIO else "high"
    return "far-below" if ratio < LOWEST else "low"


def supply_frequency(site: Site, model: HeaterModel, sources: Mapping[str, str]) -> Judgement:
    """Judge the supply frequency against the heater's."""
    values = (
        Value("supply", site.supply.frequency_hz, "frequency"),
        Value("rated", model.frequency_hz, "frequency"),
    )
    same = abs(site.supply.frequency_hz - model.frequency_hz) <= SAME_FREQUENCY_HZ
    case, severity = "same" if same else "other", ok_or_attention(same)
    return FREQUENCY.judge(case, severity, values, source=sources[FREQUENCY.name])


def supply_phases(site: Site, connection: SupplyConnection, sources: Mapping[str, str]) -> Judgement:
    """Judge the phases of panel, supply and heater against one another."""
    panel = site.supply.panel.phases
    served = panel >= site.supply.phases
    how = "three-lines" if connection.phases == 3 else "line-and-neutral" if connection.to_neutral else "two-lines"
    values = (count("panel", panel), count("supply", site.supply.phases), text("how", how))
    case, severity = "served" if served else "not-served", ok_or_stop(served)
    return PHASES.judge(case, severity, values, source=sources[PHASES.name])


def supply_neutral(site: Site, connection: SupplyConnection, sources: Mapping[str, str]) -> Judgement:
    """Judge whether the neutral that the connection takes is there; `attention` where none is stated but needed."""
    present = site.supply.neutral_present
    there = "not-stated" if present is None else "yes" if present else "no"
    values = (text("needed", "yes" if connection.neutral else "no"), text("there", there))
    source = sources[NEUTRAL.name]
    if present or not connection.neutral:
        return NEUTRAL.judge("fits", "ok", values, source=source)
    if present is None:
        return NEUTRAL.judge("not-stated", "attention", values, source=source)
    return NEUTRAL.judge("missing", "stop", values, source=source)
