"""The model of an op amp: ideal, or of finite gain and finite gain-bandwidth product.

Enters: a part with resolved pins. Leaves: its elements, its forced elements and its symbols.
Must not know: other parts, questions, the kernel.

Without a gain or a gain-bandwidth product the output supplies whatever current makes the voltage between the
inputs zero: one forced element. Otherwise, with the gain a0 at d.c. and tau = 1/(2 pi gbw),

    V_plus - V_minus = V_out/a0 + s tau V_out

(a0/(1 + s a0 tau) is the usual gain with one pole; P. R. Gray et al., "Analysis and Design of Analog Integrated
Circuits", chapter 9; from memory). The equation is Kirchhoff's law at an inner node that the output follows: into
it flows the voltage between the inputs, times one; out of it flow its own voltage over a0 and s tau times its own
voltage. So a0 without limit deletes an element, tau zero another, and without both the op amp is the ideal one.
The return ratio of the pure number one is the loop gain of the textbooks: the op amp's gain times the feedback.
The inputs draw no current; the output has no impedance.
"""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

from derive.circuit.records import GROUND, Part
from derive.constants import PI
from derive.expression.tree import ONE, Num, Quotient, Sym, evaluate, product
from derive.network.records import Element, Symbol


@dataclass(frozen=True)
class OpAmp:
    """What an op amp brings into the network."""

    elements: tuple[Element, ...]
    forced: tuple[Element, ...]
    symbols: tuple[Symbol, ...]


def opamp(part: Part) -> OpAmp:
    """The model of an op amp: ideal without ``gain`` (a pure number) and ``gbw`` (Hz) among its values."""
    name, out = part.name, (part.pins["out"], GROUND)
    inputs = (part.pins["plus"], part.pins["minus"])
    if not {"gain", "gbw"} & part.values.keys():
        return OpAmp((), (Element(name, name, "unity", out, inputs),), ())
    inner = inner_node(name)
    elements = [Element(name, name, "unity", (GROUND, inner), inputs)]
    symbols: list[Symbol] = []
    if "gain" in part.values:
        gain = part.values["gain"]
        symbols.append(Symbol(f"a0_{name}", name, "gain at d.c.", "1", gain.value))
        elements.append(Element(f"a0_{name}", name, "ratio", (inner, GROUND), (inner, GROUND)))
    if "gbw" in part.values:
        symbols += _time_constant(name, part.values["gbw"].value)
        elements.append(Element(f"tau_{name}", name, "delay", (inner, GROUND), (inner, GROUND)))
    follower = Element(name, name, "unity", out, (inner, part.pins["out"]))
    return OpAmp(tuple(elements), (follower,), tuple(symbols))


def inner_node(name: str) -> str:
    """The node whose voltage the output of this op amp follows. No node of a description is called so."""
    return f"{name}.inner"


def follows(element: Element) -> str | None:
    """The inner node that a forced element makes an output follow; None for every other forced element."""
    inner = inner_node(element.owner)
    return inner if element.controlled and element.voltage[0] == inner else None


def _time_constant(name: str, product_in_hertz: Fraction) -> tuple[Symbol, Symbol]:
    """The gain-bandwidth product in Hz, and 1/(2 pi gbw) in seconds."""
    stated = Symbol(f"gbw_{name}", name, "gain-bandwidth product", "Hz", product_in_hertz, parameter=True)
    formula = Quotient(ONE, product(Num(Fraction(2)), Sym("pi"), Sym(stated.name)))
    value = Fraction(evaluate(formula, {"pi": PI, stated.name: stated.value}))
    return stated, Symbol(f"tau_{name}", name, "time constant of the gain-bandwidth product", "s", value, formula)
