"""The circuit with one connection cut: a pin, or a part's end, held at signal ground instead of following its node.

Enters: a prepared circuit, a pin. Leaves: a prepared circuit. Must not know: words, LaTeX.

Only signals are cut: the bias point stays, and with it every small-signal value. The network is built anew with that
pin on ground, so that elements which the old wiring shorted out (a diode-connected transistor's) come to life.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from typing import TYPE_CHECKING

from derive.algebra.ring import Ring
from derive.approximate.ground import Ground
from derive.bias.records import Bias
from derive.circuit.records import GROUND, Circuit
from derive.forms.present import style_of
from derive.network.build import build
from derive.network.records import Network

TAKEN_OUT = ""
"""In place of a pin: the whole part."""
TWO_ENDS = ("resistor", "capacitor", "inductor", "diode")

if TYPE_CHECKING:
    from derive.derivation.analyse import Prepared


def rewired(prepared: Prepared, part: str, pin: str) -> Network:
    """The network with that pin at signal ground, or with that part taken out (TAKEN_OUT), at the same bias point."""
    circuit = prepared.circuit
    old = circuit.parts[part]
    point = prepared.bias.point if isinstance(prepared.bias, Bias) else None
    if pin == TAKEN_OUT:
        return build(replace(circuit, parts={n: p for n, p in circuit.parts.items() if n != part}), point)
    moved = replace(old, pins={**old.pins, pin: GROUND})
    return build(replace(circuit, parts={**circuit.parts, part: moved}), point)


def prepared_without(prepared: Prepared, part: str, pin: str) -> Prepared:
    """As ``rewired``, with its ring and numbers. Statements are kept where the symbols are still the same ones."""
    network = rewired(prepared, part, pin)
    names = [element.name for element in network.elements if element.symbol is not None]
    ring = Ring.of(names)
    old = prepared.ground
    if ring.names == old.ring.names:
        ring, statements = old.ring, prepared.statements
    else:
        statements = ()
    ground = Ground(network.values(), ring, old.band, old.spot)
    style = style_of(ring, {e.name: e.law for e in network.elements}, ground.numbers)
    return replace(prepared, network=network, ground=ground, style=style, statements=statements)


def connections(circuit: Circuit, network: Network) -> Iterator[tuple[str, str]]:
    """Every device's pin that could be held at signal ground, and every part between two nodes that move, which could
    be taken out (held at ground with one end it would load the node at its other), as part and pin.

    Not sources and supplies, not an op amp's output, not what is at signal ground already; a part that ends at signal
    ground, or at a node that a signal voltage holds, is a load and no connection.
    """
    driven = {n for drive in network.drives if drive.kind == "voltage" for n in (drive.plus, drive.minus)}
    for part in circuit.parts.values():
        if part.kind in ("supply", "signal"):
            continue
        joined = {pin: network.node(node) for pin, node in part.pins.items()}
        if len(set(joined.values())) == 1:
            continue
        if part.kind in TWO_ENDS:
            if not (driven | {network.ground}) & set(joined.values()):
                yield part.name, TAKEN_OUT
            continue
        for pin, node in joined.items():
            if node != network.ground and not (part.kind == "opamp" and pin == "out"):
                yield part.name, pin
