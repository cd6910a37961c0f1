"""Stage 2: pure functions of SI numbers and code tables to typed results that can show their working."""
