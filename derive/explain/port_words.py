"""What rules a port's current where, and what feeds it, in sentences.

Enters: the shares of a port, the band and the spot. Leaves: sentences. Must not know: LaTeX, pages.
"""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction

from derive.derivation.records import Share
from derive.explain.ports import Reign, negative, reigns
from derive.explain.wording import factor, listed
from derive.expression.tree import Sym
from derive.words import Formula, Node, Reading, Words

MOST = 4
"""Changes of reign along the band that are told; more make no sentence."""


def port_sentences(port: str, shares: Sequence[Share], band: tuple[Fraction, Fraction], spot: Fraction) -> list[Words]:
    """The largest share along the band, and the negative ones at the spot."""
    found = reigns({share.symbol: share.spectrum for share in shares}, band)
    sentences = [_reign_words(Node(port), found)] if len(shares) > 1 else []
    at_spot = {share.symbol: share.share for share in shares}
    feeding = negative(at_spot)
    if feeding:
        names = listed([(Formula(Sym(n)), " (", Reading(at_spot[n].real, "1", 3), ")") for n in feeding], ", ", " and ")
        verb = "The real part of the share of " if len(feeding) == 1 else "The real parts of the shares of "
        feeds = "it feeds" if len(feeding) == 1 else "they feed"
        where = Reading(float(spot), "Hz", 6, "stated")
        is_negative = " is" if len(feeding) == 1 else " are"
        sentences.append(
            (verb, *names, f"{is_negative} negative at ", where, f": {feeds} the port instead of loading it.")
        )
    return sentences


def _reign_words(node: Node, found: tuple[Reign, ...]) -> Words:
    if len(found) > MOST:
        many = f"Along the band the largest share of the current into it changes hands {len(found) - 1} times."
        return (many,)
    if len(found) == 1:
        words: Words = ("Throughout the band the largest share of the current into ", node, " is that of ")
        return (*words, *_share(found[0]), ".")
    pieces: list[Words] = []
    for reign in found:
        reach: Words = ("up to ", Reading(reign.high, "Hz", 3))
        if reign is found[-1]:
            reach = ("above ", Reading(reign.low, "Hz", 3))
        pieces.append((*reach, " that of ", *_share(reign)))
    return ("The largest share of the current into ", node, " is ", *listed(pieces, ", "), ".")


def _share(reign: Reign) -> Words:
    """The part's symbol with its share at both ends of its reign."""
    low, high = (factor(value) for value in reign.ends)
    below, above = (Reading(f, "Hz", 3) for f in (reign.low, reign.high))
    return (Formula(Sym(reign.name)), " (", low, " at ", below, ", ", high, " at ", above, ")")
