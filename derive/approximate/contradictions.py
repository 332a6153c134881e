"""Statements that cannot all be true.

Enters: resolved statements. Leaves: nothing, or Misstated that names the fewest that contradict each other.
Must not know: questions, answers, LaTeX.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace

from derive.approximate.alike import Alike, Unequal, alike
from derive.approximate.cone import Cone
from derive.approximate.misstated import Misstated
from derive.approximate.records import Equality, Generator, Resolved


def refuse_contradictions(resolved: Sequence[Resolved]) -> None:
    """Raises Misstated where equalities contradict each other, or stated ratios multiply to one."""
    equalities = [item for statement in resolved for item in statement.equalities]
    generators = [item for statement in resolved for item in statement.generators]
    why = _unequal(equalities)
    if why is not None:
        needed = _fewest(equalities, lambda chosen: _unequal(chosen) is not None)
        raise _contradiction(resolved, {item.statement for item in needed}, why)
    against = _circle(generators, ())
    if against:
        raise _contradiction(resolved, against, "multiplied, their ratios give one")
    if _circle(generators, equalities):
        needed = _fewest(equalities, lambda chosen: bool(_circle(generators, chosen)))
        against = _circle(generators, needed) | {item.statement for item in needed}
        raise _contradiction(resolved, against, "what is alike is not far larger or smaller")


def _unequal(equalities: Sequence[Equality]) -> str | None:
    try:
        alike(equalities)
    except Unequal as error:
        return str(error)
    return None


def _circle(generators: Sequence[Generator], equalities: Sequence[Equality]) -> set[int]:
    """The numbers of statements whose ratios multiply to one when symbols that are alike are one symbol."""
    return set(Cone(substituted(generators, alike(equalities))).contradiction())


def substituted(generators: Sequence[Generator], same: Alike) -> tuple[Generator, ...]:
    """The ratios without the symbols that others stand for."""
    return tuple(replace(g, exponents=same.term(g.exponents)[0]) for g in generators)


def _fewest(equalities: Sequence[Equality], bad: Callable[[Sequence[Equality]], bool]) -> list[Equality]:
    """Some of the equalities that are still bad, none of which can be left out."""
    needed = list(equalities)
    for item in equalities:
        fewer = [other for other in needed if other is not item]
        if bad(fewer):
            needed = fewer
    return needed


def _contradiction(resolved: Sequence[Resolved], against: set[int], why: str) -> Misstated:
    involved = [item.statement for item in resolved if item.number in against]
    names = " and ".join(f"A{statement.number}" for statement in involved)
    texts = ", ".join(f"“{statement.text}”" for statement in involved)
    if len(involved) == 1:
        return Misstated(involved[0], f"{names} contradicts itself ({texts}): {why}", "leave it out")
    return Misstated(involved[-1], f"{names} contradict each other ({texts}): {why}", "drop one of them")
