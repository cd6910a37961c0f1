"""Turns heater models and site conditions, written in YAML, into an install and safety handbook and printed cards."""

__version__ = "0.1.0"
