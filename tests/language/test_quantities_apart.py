"""In a line from right to left a number stays before its unit (Unicode Standard Annex 9, isolates: 3.3.2, X5b)."""

from generator.render.site.page_language import quantities_apart

NBSP = "\N{NO-BREAK SPACE}"


def test_each_quantity_in_a_text_is_set_apart_and_nothing_else() -> None:
    page = (
        f'<p title="118{NBSP}°F">Hot 118{NBSP}°F (47.8{NBSP}°C), −6{NBSP}K; 12 steps, breaker 7.</p>'
        f"<script>const a = '118{NBSP}°F'</script><text>25{NBSP}A</text>"
    )
    apart = (
        f'<p title="118{NBSP}°F">Hot ⁦118{NBSP}°F⁩ (⁦47.8{NBSP}°C⁩), ⁦−6{NBSP}K⁩; 12 steps, breaker 7.</p>'
        f"<script>const a = '118{NBSP}°F'</script><text>⁦25{NBSP}A⁩</text>"
    )
    assert quantities_apart(page) == apart
