"""Poles and zeros with the parts that own them, as a table.

Enters: roots with their sensitivities. Leaves: blocks. Must not know: LaTeX.
"""

from __future__ import annotations

from collections.abc import Sequence

from derive.derivation.wording import percent
from derive.document.records import Block, Column, Heading, Paragraph, Table
from derive.explain.roots import OWNS, Doublet, Root, Roots
from derive.expression.tree import Name, Sym
from derive.words import Formula, Inline, Reading, Words

MOST = 6
"""Owners of a root that are shown; the record has all."""


def owner_blocks(found: Roots) -> list[Block]:
    """Nothing for an answer without poles and zeros."""
    every = (*found.poles, *found.zeros)
    if not every:
        return []
    columns = (
        Column(("Root",)),
        Column(("Frequency",), "right"),
        Column((Formula(Name("Q")),), "right"),
        Column(("Moves, for each percent of the part, by so many percent",), width=0.5),
    )
    rows = tuple(_row(root) for root in every)
    words: Words = ("How each root moves with the parts: exact derivatives, whose sums are checked. Shown are parts ",)
    words = (*words, "that move it at least ", Reading(100 * OWNS, "%", 2), " as much as the first.")
    made: list[Block] = [Heading(2, ("What owns each pole and zero",)), Paragraph(words), Table(columns, rows)]
    return [*made, *(Paragraph(doublet_words(pair)) for pair in found.doublets)]


def _row(root: Root) -> tuple[Words, ...]:
    side = " (right half plane)" if root.value.real > 0 else ""
    quality = root.quality
    pair = "" if quality is None else " pair"
    return (
        (f"{root.side}{pair}{side}",),
        (Reading(root.frequency, "Hz"),),
        () if quality is None else (Reading(quality, "1", 3),),
        _owners(root),
    )


def _owners(root: Root) -> Words:
    if not root.owners:
        return ("at zero" if not root.value else "a multiple root, which has no derivative",)
    words: list[Inline] = []
    for place, owner in enumerate(root.leading[:MOST]):
        words += [", " if place else "", Formula(Sym(owner.symbol)), " ", Reading(owner.sensitivity.real, "1", 2)]
        if owner.quality is not None:
            words += [" (", Formula(Name("Q")), " ", Reading(owner.quality, "1", 2), ")"]
    if len(root.leading) > MOST:
        words.append(f" and {len(root.leading) - MOST} more")
    return tuple(words)


def doublet_words(pair: Doublet) -> Words:
    """A pole and a zero that nearly cancel, with how far they are apart."""
    pole, zero = Reading(pair.pole.frequency, "Hz"), Reading(pair.zero.frequency, "Hz")
    return (
        "The pole at ",
        pole,
        " and the zero at ",
        zero,
        " nearly cancel: they lie ",
        *percent(pair.apart),
        " apart.",
    )


def root_words(root: Root) -> Words:
    """One root and what owns it, to be read aloud."""
    names: Sequence[Inline] = [piece for o in root.leading[:MOST] for piece in (", ", Formula(Sym(o.symbol)))][1:]
    return (f"The {root.side} at ", Reading(root.frequency, "Hz"), " belongs to ", *names, ".")
