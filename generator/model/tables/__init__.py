"""Published tables as data: codes, clauses, pipes, plumbing rules, burns and tolerances."""
