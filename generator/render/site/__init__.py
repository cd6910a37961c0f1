"""Markdown pages to a site that works from disk."""
