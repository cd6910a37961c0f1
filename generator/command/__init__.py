"""The verbs of the command `handbook`, a file for those of a kind."""
