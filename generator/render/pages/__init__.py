"""The pages of the handbook: templates to Markdown."""
