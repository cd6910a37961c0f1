"""Many sites: what is computed of them one after the other, and on other machines."""
