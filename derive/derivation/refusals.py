"""Limits that would take an answer away, refused with what to state instead.

Enters: a question's approximate answer, its statements. Leaves: nothing, or Misstated.
Must not know: LaTeX, pages.

An answer that is beta times something is infinite for beta -> inf. That is no approximation of it; what is meant is
that beta times a resistance is large beside something, or that gm times it is.
"""

from __future__ import annotations

from collections.abc import Sequence

from derive.approximate.misstated import Misstated
from derive.approximate.records import Approximate, Resolved
from derive.expression.tree import Sym
from derive.network.records import Network


def refuse_infinite_gains(
    name: str, reduced: Approximate | None, statements: Sequence[Resolved], network: Network
) -> None:
    """Raises Misstated where beta -> inf makes a finite answer infinite."""
    if reduced is None:
        return
    for effect, resolved in zip(reduced.effects, statements, strict=True):
        if effect.reduced.spectrum is not None:
            continue
        relation = resolved.statement.relation
        if relation is None or resolved.limit is None or not isinstance(relation.left, Sym):
            return
        if not relation.left.name.startswith("beta_"):
            return
        owner = relation.left.name.removeprefix("beta_")
        what = f"A{resolved.number}: beta_{owner} -> inf makes {name} infinite, for {name} rises with beta_{owner}"
        remedy = f"state what is large, such as gm_{owner}*{_beside(owner, network)} >> 1 and beta_{owner} >> 1; other "
        remedy += f"answers keep beta_{owner} -> inf by for = […]"
        raise Misstated(resolved.statement, what, remedy)


def _beside(owner: str, network: Network) -> str:
    """A resistance at the device's emitter, for the advice."""
    for source in [e for e in network.elements if e.name == f"gm_{owner}"]:
        emitter = source.voltage[1]
        for element in network.elements:
            if element.law == "resistance" and element.owner != owner and emitter in element.current:
                return element.name
    return "R"
