"""A derivation as a series of pictures for a video: one step a frame, with what is said at it."""
