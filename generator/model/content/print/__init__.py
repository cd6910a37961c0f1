"""What is set on paper: the forms of card and record, and the words of the print templates (content/print)."""
