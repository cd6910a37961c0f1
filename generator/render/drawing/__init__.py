"""The drawings, one function a file: a record of generator/model/documents/drawings.py to an SVG, without script."""
