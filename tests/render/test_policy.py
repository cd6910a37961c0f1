"""The policy of a page allows its own files and what stands in it, by digest, and no more.

Digests: the example of W3C Content Security Policy Level 3 (Working Draft, 2023), 8.3: `alert('Hello, world.');` has
the SHA-256 digest qznLcsROx4GACP2dm0UCKCzCG-HiZ1guq6ZZDob_Tng, there written for addresses, here in base64.
"""

import pytest

from generator.render.site.policy import policy, with_policy

HELLO = "'sha256-qznLcsROx4GACP2dm0UCKCzCG+HiZ1guq6ZZDob/Tng='"


def sources(page: str, of: str) -> str:
    return next(rule for rule in policy(page).split("; ") if rule.startswith(of))


def test_a_script_in_a_page_is_named_by_its_digest() -> None:
    assert sources("<script>alert('Hello, world.');</script>", "script-src") == f"script-src 'self' {HELLO}"


@pytest.mark.parametrize(
    "page", ['<script src="a.js"></script>', '<script type="application/json">{}</script>', "<p>no script</p>"]
)
def test_a_file_and_data_need_no_digest(page: str) -> None:
    assert sources(page, "script-src") == "script-src 'self'"


def test_a_style_of_one_element_is_named_too() -> None:
    styled = sources('<th style="text-align: right;">A</th>', "style-src")
    assert styled.startswith("style-src 'self' 'unsafe-hashes' 'sha256-")
    assert sources("<th>A</th>", "style-src") == "style-src 'self'"


def test_nothing_else_may_be_loaded_or_asked() -> None:
    allowed = {source for rule in policy("<p>a</p>").split("; ") for source in rule.split(" ")[1:]}
    assert allowed == {"'none'", "'self'", "data:"}


def test_the_policy_stands_before_what_it_governs() -> None:
    page = with_policy('<html><head>\n<meta charset="utf-8">\n<script src="a.js"></script></head></html>')
    assert page.index("Content-Security-Policy") < page.index("<script")


def test_a_page_without_a_head_is_refused() -> None:
    with pytest.raises(ValueError, match="no head"):
        with_policy("<p>a</p>")
