"""Stage 1: YAML files to typed inputs, or all the faults of a run together. The only stage that reads YAML."""
