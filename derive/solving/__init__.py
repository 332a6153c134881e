"""A part such that an answer has a wanted value."""
