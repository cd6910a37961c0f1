"""The printed record: which fields apply at a site, and what is expected in each."""
