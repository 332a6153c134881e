"""The netlist of a drawing, found again by following its wires; and whether a drawing can be read without doubt.

Enters: a drawing. Leaves: which pins are joined; or a Defect. Must not know: how it was made.

Wires join where they end on each other or on a pin, and three arms of one node only under a dot: without it they
are taken to pass. So a missing dot shows as a node that falls apart.
"""

from __future__ import annotations

from collections.abc import Iterable

from derive.drawing.mesh import along, ends
from derive.drawing.plan import Edge, clear
from derive.drawing.records import Drawing, Placed, Point, Wish
from derive.drawing.symbols import Box, body, label_box, pins, terminal_box
from derive.errors import Defect

Net = frozenset[tuple[str, str]]


CORNER_DEPTH = 0.25


class _Sets:
    """Disjoint sets of whatever can be hashed."""

    def __init__(self) -> None:
        self.above: dict[object, object] = {}

    def find(self, item: object) -> object:
        while self.above.setdefault(item, item) != item:
            item = self.above[item]
        return item

    def join(self, a: object, b: object) -> None:
        self.above[self.find(a)] = self.find(b)


def trace(drawing: Drawing) -> frozenset[Net]:
    """The nets of the drawing: sets of (part, pin), with (rail's node, "rail") for those that reach its symbol."""
    sets = _Sets()
    units = _units(drawing)
    at: dict[Point, list[object]] = {}
    for placed in drawing.parts:
        for pin, place in _pins(placed).items():
            sets.find((placed.part.name, pin))
            at.setdefault(place, []).append((placed.part.name, pin))
    for terminal in drawing.terminals:
        at.setdefault(terminal.at, []).append((terminal.node, "rail"))
    reaching: dict[Point, list[tuple[int, Edge]]] = {}
    for unit in units:
        low, high = ends(unit)
        way = 1 if unit[2] else 0
        reaching.setdefault(low, []).append((way, unit))
        reaching.setdefault(high, []).append((way + 2, unit))
    for point in sorted(set(at) | set(reaching)):
        here: list[object] = [*at.get(point, []), *(unit for _, unit in reaching.get(point, []))]
        rails = sum(1 for item in at.get(point, []) if isinstance(item, tuple) and item[1] == "rail")
        if len(here) - rails <= 2 or point in drawing.dots:
            for other in here[1:]:
                sets.join(here[0], other)
            continue
        # No dot: what goes straight on passes, all else ends here by itself.
        for way, unit in reaching.get(point, []):
            for other_way, other in reaching.get(point, []):
                if other_way == (way + 2) % 4:
                    sets.join(unit, other)
    groups: dict[object, set[tuple[str, str]]] = {}
    for items in at.values():
        for item in items:
            assert isinstance(item, tuple)
            groups.setdefault(sets.find(item), set()).add(item)
    return frozenset(frozenset(group) for group in groups.values())


def wanted_nets(wish: Wish) -> frozenset[Net]:
    """What ``trace`` should find."""
    held = {node for node, _, _ in wish.rails} | {wish.ground}
    groups: dict[str, set[tuple[str, str]]] = {}
    for part in wish.parts:
        for pin, node in part.pins:
            groups.setdefault(node, set()).add((part.name, pin))
            if node in held:
                groups[node].add((node, "rail"))
    return frozenset(frozenset(group) for group in groups.values())


def merged(nets: Iterable[Net]) -> frozenset[Net]:
    """Nets that reach symbols of one rail are one net."""
    rails: dict[tuple[str, str], set[tuple[str, str]]] = {}
    rest = []
    for net in nets:
        reached = sorted(item for item in net if item[1] == "rail")
        if reached:
            rails.setdefault(reached[0], set()).update(net)
        else:
            rest.append(net)
    return frozenset([*rest, *(frozenset(net) for net in rails.values())])


def check(wish: Wish, drawing: Drawing) -> None:
    """Raises Defect where the drawing says something else than the wish, or where marks lie on each other."""
    if merged(trace(drawing)) != wanted_nets(wish):
        raise Defect("the wires of the drawing join other pins than the circuit does")
    faults = overlaps(drawing) + pierced(drawing)
    if faults:
        raise Defect(f"in the drawing, {faults[0]}")


def boxes(drawing: Drawing) -> list[tuple[str, Box]]:
    """Everything that takes room but wires: bodies, words, local symbols, names of nodes."""
    found: list[tuple[str, Box]] = []
    for placed in drawing.parts:
        left, bottom, right, top = body(placed.part.kind, placed.turn, placed.mirrored)
        x, y = placed.at
        found.append((placed.part.name, (left + x, bottom + y, right + x, top + y)))
        found += [(f"the words {label.words}", label_box(label)) for label in placed.labels]
    for terminal in drawing.terminals:
        left, bottom, right, top = terminal_box(terminal.label, terminal.way)
        x, y = terminal.at
        found.append((f"the symbol of {terminal.node}", (left + x, bottom + y, right + x, top + y)))
    return found + [(f"the name {node}", label_box(label)) for node, label in drawing.named]


def overlaps(drawing: Drawing) -> list[str]:
    """Which boxes overlap, in words."""
    found, all_boxes = [], boxes(drawing)
    own = {f"the words {label.words}": one.part.name for one in drawing.parts for label in one.labels}
    for n, (name, a) in enumerate(all_boxes):
        for other, b in all_boxes[:n]:
            # Words in an empty corner beside a transistor's base or an op amp's slope come a little into its box.
            least = CORNER_DEPTH if own.get(name) == other else 0.01
            if min(a[2], b[2]) - max(a[0], b[0]) > least and min(a[3], b[3]) - max(a[1], b[1]) > least:
                found.append(f"{other} and {name} overlap")
    return found


def pierced(drawing: Drawing) -> list[str]:
    """Where a wire runs through a symbol or through words, in words."""
    units = set(_units(drawing))
    return [
        f"a wire runs through {name}" for name, box in boxes(drawing)
        if any(not clear(_shrunk(box), unit) for unit in units)
    ]  # fmt: skip


def _shrunk(box: Box) -> Box:
    """A box without the clearance that ``clear`` adds."""
    return box[0] + 0.21, box[1] + 0.21, box[2] - 0.21, box[3] - 0.21


def _units(drawing: Drawing) -> list[Edge]:
    found: list[Edge] = []
    for wire in drawing.wires:
        for a, b in zip(wire.points, wire.points[1:], strict=False):
            low, high = min(a, b), max(a, b)
            found += along((*low, *high))
    return found


def _pins(placed: Placed) -> dict[str, Point]:
    x, y = placed.at
    return {pin: (px + x, py + y) for pin, (px, py) in pins(placed.part.kind, placed.turn, placed.mirrored).items()}
