"""Where words begin: the numbers behind each claim that is made in words.

Enters: nothing. Leaves: named limits, which the README lists. Must not know: circuits.
"""

from __future__ import annotations

STRAIGHT = 30.0
"""Degrees: a response within so much of the source's phase moves with it, within so much of 180° against it."""
STILL = 1e-3
"""A node that moves less than this part of the largest motion hardly moves."""
MAIN = 3.0
"""A pin drives a device (or takes its current) alone where its share is so many times every other pin's."""
BESIDE = 0.01
"""A device without which the output changes by less than this part carries hardly any of the signal."""
NEGATIVE = -0.01
"""A share below this is called negative."""
LOOP = 0.1
"""A loop whose return ratio is smaller at the spot is no loop worth opening."""
