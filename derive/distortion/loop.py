"""What feedback takes from the harmonics that a device makes.

Enters: the inquiry from the signal to the output, the dominant nonlinearity. Leaves: a Loop, or None where its current
is not that of a controlled source. Must not know: words.

With gm taken out, the signal makes V0 of the controlling voltage; with it, V0/(1 + T) (H. W. Bode, "Network Analysis
and Feedback Amplifier Design", chapter 6; from memory). A current beside gm's own reaches the output through Z0 with
gm taken out, with it through Z0/(1 + T) at its own frequency. Both are checked here with the kernel's numbers.
"""

from __future__ import annotations

from fractions import Fraction

from derive.answers.exact import NoSolution, spectrum
from derive.answers.inquire import return_ratio
from derive.answers.records import Inquiry
from derive.derivation.analyse import Prepared
from derive.distortion.records import Loop, Share
from derive.distortion.transfers import injected, to_control, without
from derive.errors import Defect

AGREES = 1e-9


def loop_of(prepared: Prepared, inquiry: Inquiry, share: Share, frequency: Fraction) -> Loop | None:
    """The loop of the dominant nonlinearity's own gm at ``frequency`` and at twice that (Hz)."""
    one, numbers = share.source, prepared.ground.numbers
    gm = next((e for e in inquiry.network.elements if e.name == f"gm_{one.owner}"), None)
    if gm is None or one.edge != gm.current or one.controls[0] != gm.voltage:
        return None
    double = 2 * frequency

    def value(asked: Inquiry, at: Fraction) -> complex:
        return spectrum(asked, numbers).at_frequency(at)

    dead = without(inquiry, gm.name)
    try:
        ratio = spectrum(return_ratio("T", prepared.network, gm.name), numbers)
        control = value(to_control(inquiry, gm.voltage), frequency), value(to_control(dead, gm.voltage), frequency)
        reach = value(injected(inquiry, gm.current), double), value(injected(dead, gm.current), double)
        whole, bypass = value(inquiry, frequency), value(dead, frequency)
    except (NoSolution, ZeroDivisionError):
        return None
    at, at_double = ratio.at_frequency(frequency), ratio.at_frequency(double)
    checks = [(control[0] * (1 + at), control[1]), (reach[0] * (1 + at_double), reach[1])]
    off = max(abs(a - b) / max(abs(a), abs(b)) if a or b else 0.0 for a, b in checks)
    if off > AGREES:
        raise Defect(f"the loop of {gm.name} does not divide what {one.owner} adds by 1 + T (off by {off})")
    return Loop(gm.name, at, at_double, bypass / whole, off)
