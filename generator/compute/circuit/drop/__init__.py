"""Voltage drop: what reaches the heater at the end of a real circuit, and what that asks of the conductors."""
