"""Lets `python -m generator` stand for the command `handbook`."""

from generator.cli import main

main()
