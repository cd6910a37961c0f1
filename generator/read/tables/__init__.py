"""The tables of site_data/, each held to the law that its cells obey."""
