"""Change reports as texts."""
