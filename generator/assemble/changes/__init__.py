"""What moved between two results files, and across the releases."""
