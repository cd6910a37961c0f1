"""The printed record: its texts and its PDF."""
