"""Measurements held against the answers."""
