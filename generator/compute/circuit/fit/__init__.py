"""Whether supply, leads, panel, place and terminals suit the heater, on whichever code basis."""
