"""Flow and pressure: the way of the water through pipes and heater, where it works, what may hold a stage off."""
