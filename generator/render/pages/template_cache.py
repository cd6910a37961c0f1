"""Compiled templates kept for the next run, in the project's own `.cache`: safe to delete, and to damage."""

from __future__ import annotations

import hashlib
import sys
from pathlib import Path

import jinja2
from jinja2.bccache import Bucket, BytecodeCache

from generator import __version__

FOLDER = ".cache"
_DIGEST_BYTES = hashlib.sha256().digest_size
# Code compiled by another version of anything that takes part lies in another folder and is never run.
_MADE_BY = f"{__version__}-{sys.implementation.cache_tag}-jinja{jinja2.__version__}"


class TemplateCache(BytecodeCache):
    """Keeps each compiled template in a file that begins with the digest of the rest."""

    def __init__(self, root: Path, rules: str) -> None:
        """Keep what is compiled under `rules`, a word, in the project at `root`."""
        self.folder = root / FOLDER / "templates" / f"{_MADE_BY}-{rules}"

    def load_bytecode(self, bucket: Bucket) -> None:
        """Load a template's code, unless it is not there or not what was written."""
        try:
            kept = (self.folder / bucket.key).read_bytes()
        except OSError:
            return
        digest, code = kept[:_DIGEST_BYTES], kept[_DIGEST_BYTES:]
        if hashlib.sha256(code).digest() == digest:
            bucket.bytecode_from_string(code)

    def dump_bytecode(self, bucket: Bucket) -> None:
        """Keep a template's code, where the folder can be written to."""
        code = bucket.bytecode_to_string()
        beside = self.folder / f".{bucket.key}.part"  # one name, so that what a killed run left is written over
        try:
            self.folder.mkdir(parents=True, exist_ok=True)
            beside.write_bytes(hashlib.sha256(code).digest() + code)
            beside.replace(self.folder / bucket.key)
        except OSError:
            return  # the next run compiles it again
