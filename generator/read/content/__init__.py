"""The folders of content/ that hold data: words, findings, notices, symptoms and stated values."""
