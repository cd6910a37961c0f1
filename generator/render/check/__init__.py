"""What `handbook check` prints: a report for people, and the same for programs."""
