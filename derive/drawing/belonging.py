"""Whose a mark is, to the eye: what is drawn, each with the node or part it belongs to, and whether a mark stands
nearer to its own than to all else.

Enters: a drawing. Leaves: ``Thing``s, and for what a mark speaks of a ``Target``. Must not know: LaTeX, SVG, words.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from itertools import pairwise
from math import hypot
from typing import Literal

from derive.drawing.letters import name_box
from derive.drawing.records import Drawing, Kind, Label, Place, Placed
from derive.drawing.rooms import along, moved, nearest, pins_of
from derive.drawing.symbols import SYMBOLS, Box, label_box, terminal_box, turned

CLEAR = 0.45
"""By how much a mark is nearer to its own than to anything else, if it has no line to it."""
CLOSE = 0.75
"""From its own to a mark that has no line to it, at most."""
SHORTER: dict[Kind, float] = {"capacitor": 0.4, "battery": 0.4, "diode": 0.8, "voltage source": 1.1,
                              "current source": 1.1, "controlled current source": 1.1,
                              "controlled voltage source": 1.1, "inductor": 1.4}  # fmt: skip
"""Half the length of bodies whose room has leads within it."""
NARROW = 0.73
"""The width of a line of words, as a share of its room."""


@dataclass(frozen=True)
class Thing:
    """Something that is drawn, and whose it is: a node's (``sort`` wire or name), or a part's (body or words)."""

    sort: Literal["wire", "name", "body", "words"]
    of: str
    box: Box


@dataclass(frozen=True)
class Target:
    """What a mark speaks of: ``spots`` to point at, the best first, and ``names`` to stand beside; ``own`` and
    ``foreign``: what it may be near, and what it must not seem to speak of."""

    spots: Sequence[Place]
    own: Sequence[Box]
    foreign: Sequence[Box] = ()
    names: Sequence[Box] = ()

    def clear(self, inks: Sequence[Box], notes: Iterable[Box]) -> bool:
        """Whether a mark of these boxes is nearer to its own than to all else, by a margin; of an arrow with words
        the arrow, which is its first box."""
        if any(gap(ink, note) < CLEAR for note in notes for ink in inks):
            return False
        near = min((gap(inks[0], box) for box in self.own), default=0.0)
        return near <= CLOSE and all(gap(ink, box) > near + CLEAR - 1e-9 for box in self.foreign for ink in inks)

    def pointed(self) -> list[Place]:
        """Spots that a line can begin at without seeming to begin at something else."""
        lone = [spot for spot in self.spots if all(gap((*spot, *spot), box) >= 0.3 for box in self.foreign)]
        return lone or list(self.spots)


def gap(a: Box, b: Box) -> float:
    """The distance between two boxes; 0 where they touch."""
    return hypot(max(a[0] - b[2], b[0] - a[2], 0.0), max(a[1] - b[3], b[1] - a[3], 0.0))


def target_of_node(things: Iterable[Thing], node: str, spots: Sequence[Place]) -> Target:
    """A node is its wires, pins and name; all else is foreign, parts at its pins too."""
    every = list(things)
    own = [thing for thing in every if thing.sort in ("wire", "name") and thing.of == node]
    foreign = [thing.box for thing in every if thing.sort not in ("wire", "name") or thing.of != node]
    return Target(spots, [thing.box for thing in own], foreign, [thing.box for thing in own if thing.sort == "name"])


def target_of_part(things: Iterable[Thing], part: str, spots: Sequence[Place]) -> Target:
    """A part is its body and words; other parts are foreign, wires are not."""
    parts = [thing for thing in things if thing.sort in ("body", "words")]
    return Target(
        spots, [thing.box for thing in parts if thing.of == part], [thing.box for thing in parts if thing.of != part]
    )


def things_of(drawing: Drawing) -> tuple[Thing, ...]:
    """Wires and leads as thin as they are, bodies without their leads, words."""
    found: list[Thing] = []
    for placed in drawing.parts:
        name, inner, places = placed.part.name, _inner(placed), pins_of(placed)
        found.append(Thing("body", name, inner))
        found += [Thing("words", name, _letters(label)) for label in placed.labels]
        found += [Thing("wire", node, along(places[pin], nearest(places[pin], inner), 0.0))
                  for pin, node in placed.part.pins if pin in places]  # fmt: skip
    for wire in drawing.wires:
        found += [Thing("wire", wire.node, along(a, b, 0.0)) for a, b in pairwise(wire.points)]
    found += [Thing("wire", t.node, moved(terminal_box(t.label, t.way), t.at)) for t in drawing.terminals]
    found += [Thing("name", node, name_box(label)) for node, label in drawing.named]
    return tuple(found)


def _letters(label: Label) -> Box:
    """A line of words as wide as it is."""
    left, bottom, right, top = label_box(label)
    spare = (1 - NARROW) * (right - left)
    share = {"left": 0.0, "centre": 0.5, "right": 1.0}[label.anchor]
    return left + share * spare, bottom, right - (1 - share) * spare, top


def _inner(placed: Placed) -> Box:
    """The body without the leads that its room has within it."""
    kind = placed.part.kind
    left, bottom, right, top = SYMBOLS[kind].box
    half = SHORTER.get(kind, right)
    left, right = max(left, -half), min(right, half)
    (a, b), (c, d) = (turned(corner, placed.turn, placed.mirrored) for corner in ((left, bottom), (right, top)))
    return moved((min(a, c), min(b, d), max(a, c), max(b, d)), placed.at)
