"""Noise: how much a circuit hisses, by source, and what it is worth at the input."""
