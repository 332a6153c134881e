"""What marks need to know of what they stand on, be it a drawing or a picture of one.

Enters: a drawing. Leaves: a ``Stage``. Must not know: marks, LaTeX, SVG.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from derive.drawing.belonging import Thing, things_of
from derive.drawing.records import Drawing, Loop, Place
from derive.drawing.rooms import body_of, taken
from derive.drawing.standing import spots_of
from derive.drawing.symbols import Box
from derive.drawing.traces import trace


@dataclass(frozen=True)
class Stage:
    """``taken``: boxes in which nothing may stand; ``bodies``: of parts, by name; ``spots``: where a node can be
    pointed at, the best first; ``trace``: the runs of a loop; ``extent``: what has to be shown in any case;
    ``things``: what is seen, and whose it is."""

    taken: tuple[Box, ...]
    bodies: dict[str, Box]
    spots: Callable[[str], list[Place]]
    trace: Callable[[Loop], tuple[tuple[Place, ...], ...]]
    extent: tuple[Box, ...] = ()
    things: tuple[Thing, ...] = ()


def stage_of(drawing: Drawing) -> Stage:
    boxes = tuple(taken(drawing))
    return Stage(
        boxes,
        {placed.part.name: body_of(placed) for placed in drawing.parts},
        lambda node: spots_of(drawing, node),
        lambda loop: trace(drawing, loop),
        boxes,
        things_of(drawing),
    )
