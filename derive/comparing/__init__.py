"""Circuits side by side."""
