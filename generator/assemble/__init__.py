"""Stage 3: results to documents: which page shows what, what fits a card, what changed. No I/O, no formatting."""
