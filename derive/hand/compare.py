"""One side compared with what it should be.

Enters: two sides, the matter, a tolerance. Leaves: the finding: equal and how that was proved, equal under statements,
close, or wrong; with the error and the statements that were made silently. Must not know: chains, slips, LaTeX.
"""

from __future__ import annotations

from dataclasses import replace

from derive.answers.records import Exact
from derive.hand.closeness import error_of, within
from derive.hand.dimensions import unfit
from derive.hand.equality import Reading, proof_of
from derive.hand.matter import Matter
from derive.hand.silent import silent_statements
from derive.hand.verdicts import Finding
from derive.hand.worth import Side

COARSE = 1 / 3
"""An error at the spot below this may still be a statement that costs too much, and not a slip."""


def compare(side: Side, reference: Side, matter: Matter, tolerance: float, *, answer: bool = False) -> Finding:
    """A side against what it should be: ``answer`` where that is the answer, so that the file's statements count."""
    read: Reading = "magnitude" if side.is_real and not reference.is_real else "value"
    if read == "magnitude" and side.is_logarithm and not reference.is_logarithm:
        # Decibels are no ratio: what is right in decibels is told by the diagnosis.
        return Finding("wrong", None, "decibels", error=error_of(side, reference, matter.ground, "decibels"))
    proof = proof_of(side, reference, matter.network.symbols, read)
    if proof is not None:
        return Finding("exact", proof, read)
    error = error_of(side, reference, matter.ground, read, search=True)
    inside = within(side, reference, matter.ground, read, tolerance) if error.spot <= tolerance else None
    kind = "close" if error.worst <= tolerance else "wrong"
    found = Finding(kind, None, read, error=error, inside=inside)  # type: ignore[arg-type]
    if answer and kind == "close" and unfit(side, matter) is not None:
        return replace(found, kind="wrong")
    if answer:
        found = under_statements(side, matter, found)
    if found.kind == "close" or (found.kind == "wrong" and error.spot < COARSE):
        found = _with_silent(side, reference, matter, found)
    return found


def under_statements(side: Side, matter: Matter, found: Finding) -> Finding:
    """The finding, if the side is equal to the answer under statements of the file; the smallest set of them."""
    if side.ratio is None:
        return found
    for numbers, reduced in matter.stated:
        if reduced.ratio is not None and reduced.ratio == side.ratio:
            return replace(found, kind="stated", proof="polynomials", statements=numbers)
    return found


def _with_silent(side: Side, reference: Side, matter: Matter, found: Finding) -> Finding:
    """The finding with the statements that were made silently."""
    if side.ratio is None or reference.ratio is None or reference.spectrum is None:
        return found
    inquiry = matter.exact.inquiry
    right = Exact(inquiry, reference.ratio.counts, reference.ratio, reference.spectrum)
    return replace(found, silent=silent_statements(right, side.ratio, matter.ground, matter.style))
