"""Stage 4: documents to Markdown, SVG, Typst and JSON. The only stage that writes and the only one that formats."""
