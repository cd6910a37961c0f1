"""Small constructors for the working of circuit figures."""

from __future__ import annotations

from dataclasses import replace

from generator.model.figures import BoundKind, Figure, Finding, Value
from generator.model.said import say
from generator.si import FREEZING_K, from_celsius


def amps(symbol: str, value: float, bound: BoundKind = "neither") -> Value:
    """Return a current [A]."""
    return Value(symbol, value, "current", bound)


def volts(symbol: str, value: float) -> Value:
    """Return a voltage [V]."""
    return Value(symbol, value, "voltage")


def ratio(symbol: str, value: float, bound: BoundKind = "neither") -> Value:
    """Return a plain factor."""
    return Value(symbol, value, "number", bound)


def percent(symbol: str, value: float, bound: BoundKind = "neither") -> Value:
    """Return a ratio that is shown in per cent."""
    return Value(symbol, value, "ratio", bound)


def choice(symbol: str, code: str) -> Value:
    """Return a code of the YAML, to be shown by its word."""
    return Value(symbol, code, "choice")


def text(symbol: str, value: str) -> Value:
    """Return a word, such as a conductor size."""
    return Value(symbol, value, "text")


def count(symbol: str, value: int) -> Value:
    """Return a number of things."""
    return Value(symbol, value, "count")


def celsius(kelvin: float) -> float:
    """Return [degC]. Rounded to a millionth so that 104 degF is 40 degC and not a hair above it.

    >>> from generator.si import from_fahrenheit
    >>> celsius(from_fahrenheit(104.0))
    40.0
    """
    return round(kelvin - FREEZING_K, 6)


def kelvin(symbol: str, value_c: float) -> Value:
    """Return a temperature given in [degC]."""
    return Value(symbol, from_celsius(value_c), "temperature")


def slug(words: str) -> str:
    """Return words as one part of a figure's id: `1/0 AWG` becomes `1-0-awg`."""
    return "".join(letter if letter.isalnum() else "-" for letter in words.lower())


def settle_first(cause: Finding) -> str:
    """Return the reason of a figure that has no value for as long as the stop `cause` is open."""
    return say("settle-first", rule=cause.rule)


def unusable(figure: Figure, reason: str) -> Figure:
    """Return the figure without its value, which must not be used, its state "stop" with the reason."""
    return replace(figure, value=None, band=None, steps=(), state="stop", reason=reason)
