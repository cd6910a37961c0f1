"""One YAML file to one typed input, or to its faults, each at its place."""
