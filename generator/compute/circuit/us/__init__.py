"""Branch circuits by NFPA 70, one rule a module."""
