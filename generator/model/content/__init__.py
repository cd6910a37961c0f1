"""What content/ holds as data: words, findings, notices, symptoms and stated values."""
