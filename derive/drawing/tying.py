"""Marks with a thin line (a tie) to what they speak of: short, square to the page, across nothing where that can be.

Enters: a mark, what it speaks of, the room that is taken. Leaves: a ``Note``. Must not know: LaTeX, SVG, words.
"""

from __future__ import annotations

from collections.abc import Iterator
from math import ceil, floor, hypot
from typing import TypeAlias

from derive.drawing.belonging import Target, gap
from derive.drawing.note import Mark, Note, seated
from derive.drawing.records import Place
from derive.drawing.rooms import Room, around, extent, nearest
from derive.drawing.symbols import Box

LEAST = 0.45
"""Of a tie's length."""
REACH = ((3.0, 4), (9.0, 2))
"""How far a tie goes at most, and how many places a unit are tried: first close by, then farther off."""
APART = 0.3
TIGHT = 0.4
"""What a tied mark keeps free around itself, and the length of tie that it rather has than not."""
ASTRAY = (0.9, 1.2)
"""Nearer than this to what is not its own a tied mark seems to belong there, and how much tie that is worth."""
TRIED = 1600
"""Ties among which the one that crosses least is sought."""

Tie: TypeAlias = tuple[Place, Place]
"""Its ends: at the spot, at the mark."""


def tied(mark: Mark, target: Target, room: Room) -> Note:
    """The mark with a line to its own: the shortest that crosses nothing, else the one that crosses least."""
    crossed: list[tuple[float, Box, Tie]] = []
    for reach, fine in REACH:
        for cost, box, tie in _ties(mark, target, room, reach, fine)[:TRIED]:
            weight = room.crossed(*tie)
            if not weight:
                return seated(mark, box, tie[0], tie)
            crossed.append((cost + weight, box, tie))
    if crossed:
        _, box, tie = min(crossed)
    else:
        # Beyond all that is drawn there is always room.
        spot = target.spots[0]
        box = around((spot[0], extent(room.boxes)[3] + mark.height), mark.width, mark.height)
        tie = spot, nearest(spot, box)
    return seated(mark, box, tie[0], tie)


def _ties(mark: Mark, target: Target, room: Room, reach: float, fine: int) -> list[tuple[float, Box, Tie]]:
    """Free places on a raster with a line to a spot, the best first: short, square to the page, with room around."""
    spots = target.pointed()
    left, bottom, right, top = extent((*spot, *spot) for spot in spots)
    wide, high = reach + mark.width / 2, reach + mark.height / 2
    found: list[tuple[float, Box, Tie]] = []
    for x in range(floor(fine * (left - wide)), ceil(fine * (right + wide)) + 1):
        for y in range(floor(fine * (bottom - high)), ceil(fine * (top + high)) + 1):
            box = around((x / fine, y / fine), mark.width, mark.height)
            close_by = [spot for spot in spots if gap(box, (*spot, *spot)) <= reach]
            if close_by and room.free(box):
                astray = min(
                    (gap(mark.inks(box)[0], other) for other in (*target.foreign, *room.notes)), default=ASTRAY[0]
                )
                tight = TIGHT * (not room.free(box, APART)) + ASTRAY[1] * max(0.0, ASTRAY[0] - astray)
                ties = sorted(_tie(mark, box, spot) for spot in close_by)[:3]
                found += [(cost + tight, box, tie) for cost, far, tie in ties if far >= LEAST]
    return sorted(found)


def _tie(mark: Mark, box: Box, spot: Place) -> tuple[float, float, Tie]:
    """What a line from a spot to a box costs, its length, its ends."""
    point = (*spot, *spot)
    ink = min(mark.inks(box), key=lambda ink: gap(ink, point))
    end = nearest(spot, ink)
    far = hypot(end[0] - spot[0], end[1] - spot[1])
    level, upright = end[1] == spot[1], end[0] == spot[0]
    aside = abs((ink[1] + ink[3]) / 2 - spot[1]) if level else abs((ink[0] + ink[2]) / 2 - spot[0]) if upright else 2.5
    return far + 0.2 * aside, far, (spot, end)


def dots(start: Place, end: Place) -> Iterator[Box]:
    """The room that a tie takes."""
    (x, y), (far_x, far_y) = start, end
    count = max(2, ceil(5 * (abs(far_x - x) + abs(far_y - y))))
    for n in range(1, count):
        yield around((x + (far_x - x) * n / count, y + (far_y - y) * n / count), 0.2, 0.2)
