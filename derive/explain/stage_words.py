"""The gain stage by stage, in sentences: each factor with its simplest form, and the product.

Enters: a stage chain. Leaves: sentences. Must not know: LaTeX, pages.
"""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction

from derive.derivation.records import Chain, Link
from derive.derivation.wording import percent
from derive.explain.wording import factor, listed
from derive.expression.tree import Expr, Name, Sum, Sym, walk
from derive.numbers import of_terms
from derive.structure.records import Piece
from derive.words import Formula, Words

SYMBOLS, TERMS = 6, 3
"""What a reader can see at once: a factor with more symbols than this, or a sum of more terms, is told to be long."""


def stage_sentences(name: str, chain: Chain, spot: Fraction) -> list[Words]:
    """One sentence a factor, then the product."""
    sentences = [_link_words(link) for link in chain.links]
    product = listed([(factor(link.spot, link.exact.inquiry.unit),) for link in chain.links], " · ")
    words: Words = ("Exactly, ", Formula(Name(name)), " is their product: ", *product, ".")
    if chain.product is not None and chain.error is not None:
        value = factor(chain.product.at_frequency(spot), "1")
        words = (*words, " The product of the forms is ", value, ", an error of ", *percent(chain.error.spot), ".")
    return [*sentences, words]


def _link_words(link: Link) -> Words:
    words: Words = (Formula(link.name), " is ", factor(link.spot, link.exact.inquiry.unit))
    shown = shown_form(link)
    if shown is None:
        return (*words, " (its form is too long to read: ", of_terms(link.exact.terms), ").")
    tree, pieces, error = shown
    sign = ", exactly " if error is None else ", about "
    words = (*words, sign, Formula(tree))
    where = listed([(Formula(piece.name), " being ", Formula(piece.tree)) for piece in pieces], ", ", " and ")
    words = (*words, *((", ", *where) if pieces else ()))
    words = (*words, *((" (error at worst ", *percent(error), ")") if error is not None else ()))
    long = [t for t in (tree, *(p.tree for p in pieces)) if too_long(t)]
    return (*words, "; this factor is longer than an eye can hold." if long else ".")


def shown_form(link: Link) -> tuple[Expr, Sequence[Piece], float | None] | None:
    """The simplest form that is shown, the pieces it is written with, its worst error (None where exact)."""
    if link.short is not None:
        error = None if link.short.exact else link.short.error.worst
        return link.short.written.tree, link.short.written.pieces, error
    reduced, form = link.approximate, link.approximate_form
    if reduced is not None and form is not None and form.tree is not None and not form.named and reduced.error.worst:
        return form.tree, (), reduced.error.worst
    return (link.form.tree, (), None) if link.form.tree is not None and not link.form.named else None


def too_long(tree: Expr) -> bool:
    """Whether a factor has more symbols, or a sum in it more terms, than can be seen at once."""
    parts = list(walk(tree))
    symbols = {part for part in parts if isinstance(part, Sym)}
    return len(symbols) > SYMBOLS or any(isinstance(part, Sum) and len(part.terms) > TERMS for part in parts)
