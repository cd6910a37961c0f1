"""Circuits by IEC 60364, one rule a module."""
