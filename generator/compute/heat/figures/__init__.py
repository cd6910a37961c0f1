"""Figures, tables and curves of heat, with their working, made from what the rooms of heat return."""
