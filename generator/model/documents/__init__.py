"""What is handed out: the card, the results file, releases and the change report."""
