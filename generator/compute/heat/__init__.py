"""Heat: water, the energy balance, stages, what leaves the heater, the hottest of it, the inlet through the year."""
