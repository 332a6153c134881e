"""The second roads of one question as blocks: feedback formulas, the extra element, and what its other files add.

Enters: a theory. Leaves: blocks. Must not know: LaTeX, how the pieces were found.

Words that stand for numbers: a loop raises or lowers an impedance where it changes its magnitude by more than HARDLY,
else it hardly changes it.
"""

from __future__ import annotations

from collections.abc import Sequence

from derive.derivation.records import Step
from derive.derivation.wording import percent
from derive.document.compose.bootstraps import bootstrap_blocks
from derive.document.compose.constants import constant_blocks
from derive.document.compose.error_voltages import error_blocks
from derive.document.compose.owners import owner_blocks
from derive.document.records import Block, Heading, Ledger, Paragraph, Row
from derive.explain.asymptotic import Asymptotic
from derive.explain.blackman import Blackman, NoProduct
from derive.explain.derived import Derived
from derive.explain.extra import Extra
from derive.explain.theory import Theory
from derive.expression.tree import ONE, Call, Name, Sym, total
from derive.words import Formula, Inline, Reading, Words

HARDLY = 0.01
"""A change of a magnitude by less than this is told as hardly any."""


def blocks(found: Theory, spot: float) -> list[Block]:
    """All of a question's second roads; ``spot`` in Hz."""
    gain = isinstance(found.around, Asymptotic) or found.constants is not None or bool(found.errors)
    made = [*feedback_blocks(found, spot), *extra_blocks(found.extra)]
    if gain:
        made += [*constant_blocks(found.constants), *error_blocks(found.errors, found.exact.inquiry.unit)]
    return [*made, *owner_blocks(found.roots), *bootstrap_blocks(found.bootstraps, spot)]


def feedback_blocks(found: Theory, spot: float) -> list[Block]:
    """The formula around a controlled source, its pieces and the combination; a sentence where there is none."""
    around = found.around
    name = Formula(Name(found.question.name))
    if around is None:
        if found.question.loop is None:
            return []
        words: Words = ("No feedback formula is written around ", _source(found.loop), ": it closes no loop here, or ")
        return [_heading(), Paragraph((*words, "without it nothing has a finite value."))]
    if isinstance(around, NoProduct):
        return _no_product(around, name)
    if isinstance(around, Asymptotic):
        pieces = (around.ratio, around.ideal, around.dead)
        return [_heading(), Paragraph(gain_words(around, spot)), _ledger(pieces, around.combination)]
    pieces = (around.dead, around.shorted, around.opened)
    return [_heading(), Paragraph(impedance_words(around, spot)), _ledger(pieces, around.combination)]


def _heading() -> Heading:
    return Heading(2, ("The same by feedback theory",))


def _source(loop: str | None) -> Inline:
    return Formula(Sym(loop)) if loop else "that source"


def gain_words(around: Asymptotic, spot: float) -> Words:
    chosen: Words = ("as the description asks",)
    if not around.chosen:
        chosen = ("at which its loop is opened",)
    size = abs(1 + around.ratio.spot)
    words: Words = ("The gain around ", _source(around.loop), ", ", *chosen, ". At ", Reading(spot, "Hz", 6, "stated"))
    words = (*words, ", ", Formula(Call("abs", total(ONE, around.ratio.name))), " = ", Reading(size, "1"))
    whole = abs(around.by_loop + around.by_dead)
    part = abs(around.by_dead) / whole if whole else 0.0
    return (*words, "; the feedthrough makes up ", *percent(part), " of the gain, by magnitude.")


def impedance_words(around: Blackman, spot: float) -> Words:
    chosen = "as the description asks" if around.chosen else "the source whose loop moves the impedance most"
    words: Words = ("The impedance around ", _source(around.loop), f", {chosen}: at ", Reading(spot, "Hz", 6, "stated"))
    size = abs(around.factor)
    if not size:
        return (*words, " its loop takes it to zero.")
    if abs(size - 1) < HARDLY:
        return (*words, " its loop hardly changes the magnitude, by a factor of ", Reading(size, "1"), ".")
    way = "raises" if size > 1 else "lowers"
    return (*words, f" its loop {way} the magnitude by a factor of ", Reading(size if size > 1 else 1 / size, "1"), ".")


def _no_product(around: NoProduct, name: Inline) -> list[Block]:
    words: Words = (
        "With ",
        _source(around.loop),
        " dead ",
        name,
        f" is {around.dead}, so that Blackman's formula has ",
    )
    words = (*words, "nothing to multiply; the impedance is taken by the budget of its port")
    if around.budget is None:
        return [_heading(), Paragraph((*words, "."))]
    row = _rows((around.budget.law,))
    return [_heading(), Paragraph((*words, ", whose shares add to one:")), Ledger(row)]


def extra_blocks(found: Extra | None) -> list[Block]:
    """The answer around the part that the author names."""
    if found is None:
        return []
    part = Formula(Sym(found.part))
    taken = "open" if found.reference == "open" else "a short"
    words: Words = ("The answer with ", part, f" taken as {taken}, and what puts it back: the impedance that the part ")
    words = (*words, "sees with the signal zeroed, and with the answer's own voltage nulled by the signal.")
    ledger = _ledger([p for p in (found.without, found.driving, found.nulled) if p is not None], found.combination)
    return [Heading(2, ("The extra element ", part)), Paragraph(words), ledger]


def _ledger(pieces: Sequence[Derived], combination: Step) -> Ledger:
    return Ledger((*_rows([step for piece in pieces for step in piece.steps]), *_rows((combination,))))


def _rows(steps: Sequence[Step]) -> tuple[Row, ...]:
    return tuple(Row(s.rule, s.lines, s.number, s.note, s.kind) for s in steps)
