"""Use: fixtures and what they ask for, mixing, waiting, expansion, hardness, energy."""
