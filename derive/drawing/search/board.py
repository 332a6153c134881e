"""The arrays on which the search works: what does not change (``Board``) and what does (``State``).

Enters: numbers. Leaves: arrays. Must not know: names.
"""

from __future__ import annotations

from typing import Any, NamedTuple

Array = Any
"""A numpy array; the compiled code knows its shape."""

EAST, NORTH, WEST, SOUTH = 0, 1, 2, 3
BODY, WORDS, TERMINAL = 0, 1, 2


class Board(NamedTuple):
    """P parts with up to V variants, 3 pins and B boxes; N nets.

    ``pin_net``: net of a pin, or -1 for a rail's, -2 where there is none; ``pin_rail``: rail of a pin or -1.
    ``pin_at``, ``pin_way``, ``pin_free``: by part, variant and pin: place, outward direction, price of a wire that
    turns at the pin at once. ``box``: left, bottom, right, top by part, variant, box, seen from the part's place;
    ``bound``: what encloses boxes and pins. ``price``: what a variant costs by itself. ``net_start``: where the
    pins of a net begin in ``net_part`` and ``net_pin``. ``named``: nets that want a unit of wire for their name.
    ``flow``: part, pin, part, pin; its weight per unit in ``flow_weight``: the first must not lie right of the
    second. ``pairs``: two parts, and 1 where their controls look at each other, 0 where they look away, 2 where that
    does not matter. ``level``, ``upright``: two parts to be in one row, in one column. ``source``: part that belongs
    on the left, or -1; ``output``: net that belongs on the right, or -1. ``still``: parts that may not move.
    """

    pins: Array
    pin_net: Array
    pin_rail: Array
    pin_at: Array
    pin_way: Array
    pin_free: Array
    boxes: Array
    box: Array
    box_kind: Array
    bound: Array
    variants: Array
    price: Array
    mirrored: Array
    net_start: Array
    net_part: Array
    net_pin: Array
    named: Array
    flow: Array
    flow_weight: Array
    pairs: Array
    level: Array
    upright: Array
    source: int
    output: int
    rails: int
    still: Array


class State(NamedTuple):
    """Places, variants; a net's trunk: whether it lies, the pin it goes by, how far beside it; its runs of wire
    (``run``: x, y, x, y with the lesser first), their count, and what they cost by themselves."""

    x: Array
    y: Array
    variant: Array
    lying: Array
    by: Array
    beside: Array
    run: Array
    runs: Array
    cost: Array
