"""The arrays on which the search works: what does not change (``Board``) and what does (``State``).

Enters: numbers. Leaves: arrays. Must not know: names.

They are few and wide, because compiled calls pass every array by all its parts.
"""

from __future__ import annotations

from typing import Any, NamedTuple

Array = Any
"""A numpy array; the compiled code knows its shape."""

EAST, NORTH, WEST, SOUTH = 0, 1, 2, 3
BODY, WORDS, TERMINAL = 0, 1, 2

PINS, BOXES, VARIANTS, STILL, NET, RAIL, KIND = 0, 1, 2, 3, 4, 7, 10
"""Columns of ``parts``; net (-1: a rail, -2: no pin) and rail (or -1) of three pins, kind of six boxes."""
FREE_TO_GO, HELD, FIXED = 0, 1, 2
"""What STILL says: free, held in its place but free to turn, or fixed altogether."""
MOST_PINS, MOST_BOXES = 3, 6
PRICE, BOUND, FREE, ROOM = 0, 1, 5, 8
"""Columns of ``shapes``: price of the variant by itself, the box around everything, what a wire costs that turns at
a pin at once (three), and the boxes (left, bottom, right, top each), seen from the part's place."""
FLOW, PAIR, ROW, COLUMN, BESIDE = 0, 1, 2, 3, 4
"""Kinds of ``wants``, in their column 0. FLOW: part, pin, part, pin, thousandths of the price per unit by which the
first pin lies right of the second. PAIR: two parts, and 1 where their controls look at each other, 0 where they look
away, 2 where that does not matter. ROW, COLUMN: two parts. BESIDE: two parts in parallel, level where they stand, one
below the other where they lie."""


class Board(NamedTuple):
    """``parts[p]``, ``shapes[p, variant]``, ``pins[p, variant, pin]``: x, y, outward direction. ``nets[n]``: where
    its pins begin in ``members`` (part, pin), whether it wants a unit of wire for its name; one row more than nets.
    ``ends``: the part that belongs on the left or -1, the net that belongs on the right or -1, the count of rails."""

    parts: Array
    shapes: Array
    pins: Array
    nets: Array
    members: Array
    wants: Array
    ends: Array


class State(NamedTuple):
    """``place[p]``: x, y, variant. ``trunk[n]``: whether it lies, the pin it goes by, how far beside it. ``run[n]``:
    x, y, x, y with the lesser first. ``tally[n]``: how many runs, what they cost by themselves."""

    place: Array
    trunk: Array
    run: Array
    tally: Array
