"""What of a circuit is to be drawn: wishes for the layout.

Enters: circuits, networks, bias points, answers. Leaves: wishes. Must not know: coordinates, LaTeX.
"""
