"""Pages that the site engine need not build, since a build before made them: what it is told of them instead."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

# By path in the engine's source the places on a page and, by page, those that its links lead to; and the names of
# classes and colours that such pages have.
NOTHING_SPARED: Mapping[str, Any] = {"pages": {}, "names": []}
