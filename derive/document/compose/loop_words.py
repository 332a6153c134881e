"""Words that the sections on loops share: sources, senses along the band, poles, pins.

Enters: numbers and records. Leaves: words. Must not know: LaTeX.
"""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction
from math import inf, pi

from derive.explain.loops import Loop, Loops
from derive.explain.margins import Margins
from derive.explain.natural import Natural
from derive.explain.wording import listed
from derive.expression.tree import Name, Sym
from derive.numbers import inwards
from derive.words import Formula, Inline, Node, Reading, Words


def source(of: Loop | str) -> Inline:
    """A controlled source by its symbol; an op amp by its name."""
    if isinstance(of, Loop):
        return Node(of.element.owner) if of.element.symbol is None else Formula(Sym(of.of))
    return Formula(Sym(of)) if "_" in of else Node(of)


def pin(part: str, name: str, node: str) -> Words:
    """A pin of a device, an end of a part with two, or without a pin the part itself."""
    if not name:
        return (Node(part),)
    if name in ("first", "second"):
        return (Node(part), " at ", Node(node))
    return (Node(f"{part}.{name}"),)


def senses(margins: Margins, band: tuple[Fraction, Fraction]) -> Words:
    """The sense of the feedback along the band: one word where it keeps it, else where it turns."""
    low, high = (float(f) for f in band)
    found = [s for s in margins.stretches if s.high > low and s.low < high]
    if len(found) == 1:
        word = {"none": "none", "negative": "negative", "positive": "positive"}[found[0].sense]
        return (f"{word} in the band",)
    pieces: list[Words] = []
    for stretch in found:
        start, end = max(stretch.low, low), min(stretch.high, high)
        pieces.append((f"{stretch.sense} ", *reach(start if start > low else 0.0, end if end < high else inf)))
    return listed(pieces, ", ")


def reach(low: float, high: float) -> Words:
    """A stretch of frequencies, its ends rounded inwards."""
    start, end, digits = inwards(low, high)
    if low <= 0 and high == inf:
        return ("throughout",)
    if low <= 0:
        return ("up to ", Reading(end, "Hz", digits))
    if high == inf:
        return ("from ", Reading(start, "Hz", digits), " up")
    return ("from ", Reading(start, "Hz", digits), " to ", Reading(end, "Hz", digits))


def real_or_pair(poles: Sequence[complex]) -> list[Words]:
    """Each real pole and each pair in the right half plane: what grows, how fast."""
    found: list[Words] = []
    for pole in poles:
        if not pole.imag:
            found.append(("a real one (it runs away with a time constant of ", Reading(1 / pole.real, "s", 3), ")"))
        elif pole.imag > 0:
            rate: Words = (", growing with a time constant of ", Reading(1 / pole.real, "s", 3), ")")
            found.append(("a pair (it oscillates at ", Reading(pole.imag / (2 * pi), "Hz"), *rate))
    return found


def damping_words(found: Natural) -> Words:
    """The pair with the least damping by its frequency and Q; nothing where all poles are real."""
    pairs = [pole for pole in found.left if pole.imag > 0]
    if not pairs:
        return ("; all are real",)
    least = min(pairs, key=lambda pole: -pole.real / abs(pole))
    quality = abs(least) / (2 * abs(least.real))
    return ("; the least damped pair lies at ", Reading(abs(least) / (2 * pi), "Hz"), " with ", Formula(Name("Q")),
            " = ", Reading(quality, "1", 3))  # fmt: skip


def poles_words(loops: Loops) -> Words:
    """How many natural frequencies there are, and where."""
    found = loops.natural
    if found is None or not found.all:
        return ()
    count = len(found.all)
    words: Words = (f"The network has {count} natural frequenc{'y' if count == 1 else 'ies'}, ",)
    if found.at_zero:
        words = (*words, f"{found.at_zero} of them at zero, ")
    if count == 1 and found.left:
        return ("The network has one natural frequency; it is real, and not in the right half plane.",)
    if found.right:
        return (*words, f"{len(found.right)} in the right half plane.")
    if found.axis:
        return (*words, "a pair of them on the imaginary axis.")
    return (*words, "none in the right half plane", *damping_words(found), ".")
