"""How much voltage each device's input takes: the microvolts between gate and source (base and emitter, the inputs of
an op amp) for each volt of the signal.

Enters: a gain's exact answer. Leaves: a record for each controlled source and op amp that the signal reaches.
Must not know: LaTeX, pages.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

from derive.answers.records import Exact
from derive.derivation.chain import signal_path
from derive.derivation.solution import Solution
from derive.explain.derived import Bench, Derived
from derive.expression.tree import Name
from derive.network.opamp import follows
from derive.network.records import Element
from derive.words import Node, Words

BETWEEN = {"bjt": ("base", "emitter"), "jfet": ("gate", "source"), "mosfet": ("gate", "source")}
MOST = 3
"""Devices on the signal path for which a short form is searched; the others have their exact form, or their number."""


@dataclass(frozen=True)
class ErrorVoltage:
    """``ratio``: the controlling voltage per volt of the signal (per ampere where the signal is a current, in ohms).
    ``on_path``: whether the device's output joins two nodes of the signal path, or its input is one.
    """

    part: str
    ratio: Derived
    between: tuple[str, str]
    pins: tuple[str, str] | None
    on_path: bool


def error_voltages(exact: Exact, bench: Bench) -> tuple[ErrorVoltage, ...]:
    """One record a device that the signal reaches, those on the signal path first, each group by size."""
    inquiry = exact.inquiry
    ground = bench.prepared.ground
    solution = Solution(inquiry, ground.numbers, ground.ring, ground.spot)
    begin = solution.node(inquiry.below[0] if inquiry.below else inquiry.port[0])
    path = set(signal_path(solution, begin, solution.node(inquiry.above[0])) or ())
    heard = []
    for element in _sensing(exact):
        ratio = bench.exact(replace(inquiry, above=element.voltage))
        if any(ratio.spectrum.numerator):
            ends = {solution.node(n) for n in (*element.current, *element.voltage)}
            ends |= {solution.follows[n] for n in ends & solution.follows.keys()}
            heard.append((len(ends & path) >= 2, abs(ratio.spectrum.at_frequency(ground.spot)), element, ratio))
    heard.sort(key=lambda found: (not found[0], -found[1]))
    brief = replace(bench, thorough=False)
    return tuple(
        _of(element, ratio, on_path, bench if on_path and place < MOST else brief)
        for place, (on_path, _, element, ratio) in enumerate(heard)
    )


def _sensing(exact: Exact) -> list[Element]:
    """Each device's controlled source, and ideal op amps, whose inputs differ by nothing."""
    network = exact.inquiry.network
    return [e for e in (*network.elements, *network.forced) if e.controlled and follows(e) is None]


def _of(element: Element, ratio: Exact, on_path: bool, bench: Bench) -> ErrorVoltage:
    part = bench.prepared.circuit.parts.get(element.owner)
    pins = BETWEEN.get(part.kind) if part is not None else None
    rule: Words = ("between ", Node(element.voltage[0]), " and ", Node(element.voltage[1]))
    found = bench.of_exact(Name(f"e_{element.owner}"), rule, ratio, f"_{element.owner}")
    return ErrorVoltage(element.owner, found, element.voltage, pins, on_path)
