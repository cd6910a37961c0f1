"""Pipes: what they are made of, how wide they are inside, what they withstand and what flow through them costs."""
