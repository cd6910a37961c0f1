"""What is installed and hangs at the sites."""
