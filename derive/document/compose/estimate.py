"""The bias point as one would estimate it: the ledger of its steps, then what it gave beside what was solved.

Enters: the bias point, the circuit. Leaves: blocks. Must not know: LaTeX.

The voltages of this part are direct voltages and are spelt so; a diode's current has the symbol that it has in the
table of symbols.
"""

from __future__ import annotations

from derive.bias.records import Bias, Estimate, EstimateStep, Point
from derive.circuit.records import GROUND, Circuit
from derive.document.compose.phrases import NOTHING, change, joined, signed
from derive.document.compose.points import CURRENT
from derive.document.records import Block, Column, Heading, Ledger, Paragraph, Row, Table, direct
from derive.expression.tree import Call, Expr, Parallel, Power, Product, Quotient, Relation, Sum, Sym, Volt
from derive.words import Formula, Inline, Line, Node, Reading, Words

SAME = 1e-9
"""Volts below which an estimated node is the solved one (a supply's), and not worth a row."""
NOUGHT = 1e-10
"""Amperes below which a current counts as none, so that no percentage of it is told."""


def blocks(bias: Bias, circuit: Circuit) -> list[Block]:
    """The part of the section; nothing where there was nothing to estimate."""
    found = bias.estimate
    if found is None or not (found.steps or found.why):
        return []
    blocks: list[Block] = [Heading(2, ("As one would estimate it",))]
    if found.steps:
        words = "By hand, one rule after another, each with its number. Base and gate currents, Early effect and "
        words += "channel-length modulation are left out unless a line has them; small print marks the trade's habits."
        rows = tuple(_row(step, circuit) for step in found.steps)
        blocks += [Paragraph((words,)), Ledger(rows)]
    if found.why:
        blocks.append(Paragraph((f"The estimate stops here: {found.why}.",)))
    rows_beside = _beside(found, bias.point, circuit)
    if rows_beside:
        columns = (Column(("Quantity",)), Column(("Estimated",), "right"),
                   Column(("Solved",), "right"), Column(("Difference",), "right"))  # fmt: skip
        blocks += [Paragraph(("The estimate beside the solved point:",)), Table(columns, rows_beside)]
    astray = _astray(found, bias.point)
    if astray:
        names = joined([(Node(part),) for part in astray])
        lost: Words = (
            "The estimate of ", *names, " does not hold: a rule of thumb that it rests on fails here, or the circuit "
            "has settled elsewhere. Go by the solved point.",
        )  # fmt: skip
        blocks.append(Paragraph(lost))
    return blocks


FAR = 10.0
"""Times the solved current from which a difference in per cent says nothing."""
ASTRAY = 2.0
"""By how many times an estimated current may miss the solved one and still be an estimate of it."""


def _astray(found: Estimate, point: Point) -> list[str]:
    """Devices whose estimated current is no estimate of the solved one, in size or in direction."""
    missed = []
    for part, current in found.currents.items():
        solved = point.currents.get(part, 0.0)
        sizes = sorted((abs(current), abs(solved)))
        if part in point.devices and sizes[1] > NOUGHT and (sizes[1] > ASTRAY * sizes[0] or current * solved < 0):
            missed.append(part)
    return missed


def _row(step: EstimateStep, circuit: Circuit) -> Row:
    lines = tuple(
        Line(None if line.left is None else _spelt(line.left, circuit), line.sign, _spelt(line.right, circuit))
        for line in step.lines
    )
    said = [tuple(_said(piece, circuit) for piece in words) for words in (step.rule, step.number, step.note)]
    rule, number, note = said
    if not lines:
        return Row(rule, lines, number, note, "remark")
    return Row(rule, lines, number, note, "approximate" if any(line.sign == "≈" for line in lines) else "equal")


def _said(piece: Inline, circuit: Circuit) -> Inline:
    if not isinstance(piece, Formula):
        return piece
    if isinstance(piece.expr, Relation):
        left, right = _spelt(piece.expr.left, circuit), _spelt(piece.expr.right, circuit)
        return Formula(Relation(left, piece.expr.op, right))
    return Formula(_spelt(piece.expr, circuit))


def _spelt(expr: Expr, circuit: Circuit) -> Expr:
    """The same algebra with nodes as direct voltages."""

    def new(inner: Expr) -> Expr:
        return _spelt(inner, circuit)

    match expr:
        case Volt(node):
            return direct(node)
        case Sym(name) if name.startswith("I_"):
            diode = circuit.parts.get(name[2:])
            return expr if diode is None or diode.kind != "diode" else Sym(f"Id_{diode.name}")
        case Sum(terms):
            return Sum(tuple(map(new, terms)))
        case Product(factors):
            return Product(tuple(map(new, factors)))
        case Parallel(branches):
            return Parallel(tuple(map(new, branches)))
        case Quotient(above, below):
            return Quotient(new(above), new(below))
        case Power(base, exponent):
            return Power(new(base), exponent)
        case Call(function, argument):
            return Call(function, new(argument))
    return expr


def _beside(found: Estimate, point: Point, circuit: Circuit) -> tuple[tuple[Words, ...], ...]:
    """Nodes with their difference in volts, currents of devices with theirs in per cent."""
    rows: list[tuple[Words, ...]] = []
    for node, volts in found.nodes.items():
        solved = point.nodes.get(node)
        if node != GROUND and solved is not None and not _is_held(node, volts, solved, circuit):
            name: Words = (Formula(direct(node)),)
            rows.append((name, *_numbers(volts, solved, "V"), signed(volts - solved, "V")))
    for part, current in found.currents.items():
        if part in point.devices:
            symbol = Sym(f"{CURRENT[point.devices[part].kind]}_{part}")
            estimated, solved = abs(current), abs(point.currents[part])
            near = max(estimated, solved) > NOUGHT and estimated < FAR * solved
            off = change(estimated, solved) if near else NOTHING
            rows.append(((Formula(symbol),), *_numbers(estimated, solved, "A"), off))
    return tuple(rows)


def _is_held(node: str, volts: float, solved: float, circuit: Circuit) -> bool:
    """Whether a source holds the node, so that its estimate is no news."""
    sources = [part for part in circuit.parts.values() if part.kind in ("supply", "signal")]
    return abs(volts - solved) < SAME and any(node in part.pins.values() for part in sources)


def _numbers(estimated: float, solved: float, unit: str) -> tuple[Words, Words]:
    return (Reading(estimated, unit, 3),), (Reading(solved, unit),)
