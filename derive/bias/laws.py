"""The large-signal laws of the devices: currents and their derivatives.

Enters: voltages of an n-type device in volts, the parameters of its law, and the exponential to use (of floats or
of long numbers). Leaves: currents in amperes, derivatives in siemens. A p-type is the n-type with all signs
reversed; the caller does that. Must not know: circuits, nodes, solvers.

Bipolar: transport form of the junction laws with the Early effect, I = Is (exp(Vbe/VT) - exp(Vbc/VT)) (1 - Vbc/VA)
(H. K. Gummel, H. C. Poon, Bell Syst. Tech. J. 49 (1970) 827, reduced; from memory). FET: the square law
(W. Shockley, Proc. IRE 40 (1952) 1365, in its usual parabolic form; from memory).
"""

from __future__ import annotations

from collections.abc import Callable
from math import exp
from typing import Any, NamedTuple, TypeAlias

Real: TypeAlias = Any
"""A float, or a long number of mpmath."""
Exp: TypeAlias = Callable[[Real], Real]

REVERSE_BETA = 2
"""Reverse current gain of a bipolar transistor; common practice, no source."""
LARGEST_EXPONENT = 80.0
"""Above it the exponential goes on as a straight line, so that a trial voltage cannot overflow."""


class Junction(NamedTuple):
    """Current of a diode and its slope."""

    current: Real
    slope: Real


class Bipolar(NamedTuple):
    """Collector and base current with their derivatives by Vbe and by Vbc, and the transport current's own two."""

    ic: Real
    ib: Real
    ic_be: Real
    ic_bc: Real
    ib_be: Real
    ib_bc: Real
    transport_be: Real
    transport_bc: Real


class Channel(NamedTuple):
    """Drain current and its derivatives by Vgs and by Vds."""

    current: Real
    gm: Real
    gds: Real


def bounded_exp(x: float) -> float:
    """exp(x), continued as a straight line above LARGEST_EXPONENT."""
    if x <= LARGEST_EXPONENT:
        return exp(x)
    return exp(LARGEST_EXPONENT) * (1 + x - LARGEST_EXPONENT)


def diode(v: Real, saturation: Real, scale: Real, exponential: Exp = bounded_exp) -> Junction:
    """I = Is (exp(V/(n VT)) - 1); ``scale`` is n VT."""
    value = exponential(v / scale)
    return Junction(saturation * (value - 1), saturation * value / scale)


def bipolar(
    vbe: Real, vbc: Real, saturation: Real, beta: Real, lean: Real, vt: Real, exponential: Exp = bounded_exp
) -> Bipolar:
    """The law of an npn transistor; ``lean`` is 1/VA, zero without Early effect."""
    forward, backward = saturation * exponential(vbe / vt), saturation * exponential(vbc / vt)
    early = 1 - vbc * lean
    transport_be = forward / vt * early
    transport_bc = -backward / vt * early - (forward - backward) * lean
    reverse = (backward - saturation) / REVERSE_BETA
    reverse_slope = backward / vt / REVERSE_BETA
    return Bipolar(
        ic=(forward - backward) * early - reverse,
        ib=(forward - saturation) / beta + reverse,
        ic_be=transport_be,
        ic_bc=transport_bc - reverse_slope,
        ib_be=forward / vt / beta,
        ib_bc=reverse_slope,
        transport_be=transport_be,
        transport_bc=transport_bc,
    )


def channel(vgs: Real, vds: Real, scale: Real, threshold: Real, slope: Real) -> Channel:
    """The square law of an n-channel FET: ``scale`` (Vgs - threshold)² (1 + slope Vds) once pinched off.

    ``scale`` is Idss/Vp² of a junction FET and k/2 of a MOSFET, in A/V². With Vds below zero drain and source
    change places.
    """
    if vds < 0:
        other = channel(vgs - vds, -vds, scale, threshold, slope)
        return Channel(-other.current, -other.gm, other.gm + other.gds)
    over = vgs - threshold
    zero = 0 * over
    if over <= 0:
        return Channel(zero, zero, zero)
    lean = 1 + slope * vds
    if vds >= over:
        current = scale * over * over
        return Channel(current * lean, 2 * scale * over * lean, current * slope)
    current = scale * (2 * over - vds) * vds
    return Channel(current * lean, 2 * scale * vds * lean, 2 * scale * (over - vds) * lean + current * slope)
