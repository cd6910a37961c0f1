"""The policy that each page carries: a browser loads what belongs to the handbook and nothing else, and sends nothing.

Scripts and styles that stand in a page are named by their digests (W3C, Content Security Policy Level 3, 2.3.1 and
6.7.3), so that a text that got into a page all the same would not run.
"""

from __future__ import annotations

import base64
import hashlib
import re
from collections.abc import Iterable
from html import unescape
from pathlib import Path

META = '<meta http-equiv="Content-Security-Policy" content="{}">'
POLICY = re.compile(r'<meta http-equiv="Content-Security-Policy"[^>]*>')
_HEAD = re.compile(r"<head>|<meta charset=[^>]*>", re.IGNORECASE)
_SCRIPT = re.compile(r"<script\b(?![^>]*\bsrc=)([^>]*)>(.*?)</script>", re.DOTALL | re.IGNORECASE)
_DATA = re.compile(r"\btype=[\"']?(?!text/javascript|module)[\w/+-]", re.IGNORECASE)  # a block that no browser runs
_STYLE = re.compile(r"<style\b[^>]*>(.*?)</style>", re.DOTALL | re.IGNORECASE)
_STYLED = re.compile(r"<[a-z][^<>]*?\sstyle=\"([^\"]*)\"", re.IGNORECASE)


def add_policies(site: Path) -> None:
    """Give every page of a built site its policy."""
    for path in site.rglob("*.html"):
        path.write_text(with_policy(path.read_text(encoding="utf-8")), encoding="utf-8", newline="\n")


def with_policy(page: str) -> str:
    """Return a page of HTML with its policy at the head, before anything that it governs."""
    head = max(_HEAD.finditer(page, 0, 2000), key=lambda found: found.end(), default=None)
    if head is None:
        raise ValueError("the page has no head to hold a policy")
    return f"{page[: head.end()]}{META.format(policy(page))}{page[head.end() :]}"


def policy(page: str) -> str:
    """Return the policy of a page: its own files, and what stands in it by digest."""
    scripts = [code for kind, code in _SCRIPT.findall(page) if not _DATA.search(kind)]
    styles = _STYLE.findall(page)
    styled = [unescape(text) for text in _STYLED.findall(page)] if 'style="' in page.lower() else []  # few have one
    attributes = " 'unsafe-hashes'" if styled else ""
    rules = {
        "default-src": "'none'",
        "script-src": f"'self'{_digests(scripts)}",
        "style-src": f"'self'{attributes}{_digests([*styles, *styled])}",
        "img-src": "'self' data:",
        "font-src": "'self'",
        "connect-src": "'self'",
        "form-action": "'self'",
        "base-uri": "'none'",
    }
    return "; ".join(f"{name} {sources}" for name, sources in rules.items())


def _digests(texts: Iterable[str]) -> str:
    found = sorted({base64.b64encode(hashlib.sha256(text.encode()).digest()).decode() for text in texts})
    return "".join(f" 'sha256-{digest}'" for digest in found)
