"""Records: what was measured, held against what was computed."""
