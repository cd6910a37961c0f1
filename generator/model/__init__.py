"""The typed, frozen inputs and results that the stages hand to one another."""
