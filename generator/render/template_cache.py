"""Compiled templates kept for the next run, in the user's own temporary folder."""

from __future__ import annotations

from jinja2 import FileSystemBytecodeCache

from generator import __version__

# Code compiled under other rules (by another version, or outside the sandbox) lies under other names and is never run.
_PATTERN = f"handbook-{__version__}-{{rules}}-%s.cache"


def template_cache(rules: str) -> FileSystemBytecodeCache | None:
    """Return the cache of the templates compiled under `rules`, a word; None where there can be no folder for it."""
    try:
        return FileSystemBytecodeCache(pattern=_PATTERN.format(rules=rules))
    except (OSError, RuntimeError):  # the folder belongs to someone else, or cannot be made
        return None
