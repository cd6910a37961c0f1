"""Cards and labels: the texts, what a page holds of them, and the PDF."""
