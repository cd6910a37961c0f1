"""The bound handbook: the pages' HTML to one PDF."""
