"""What one site's card may show, and whether a printed one is current."""
