"""One question's view of the circuit: finds its nodes, its parts and the signal that excites.

Enters: a question's name and the circuit's parts. Leaves: nodes and parts, or a DescriptionError.
Must not know: kinds of questions.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import TYPE_CHECKING

from derive.circuit.nets import node_of
from derive.circuit.records import Part, Path
from derive.circuit.symbols import explain_symbol
from derive.description.hints import a, suggest

if TYPE_CHECKING:
    from derive.description.outline import Description
    from derive.errors import DescriptionError


@dataclass(frozen=True)
class Asker:
    """One question's view of the circuit, for messages that name the question."""

    description: Description
    parts: Mapping[str, Part]
    nodes: tuple[str, ...]
    name: str
    path: Path

    def error(self, key: tuple[str | int, ...], what: str, remedy: str) -> DescriptionError:
        return self.description.source.error((*self.path, *key), f"question {self.name}: {what}", remedy)

    def node(self, text: str, key: tuple[str | int, ...]) -> str:
        """The node that a text names; it must be there."""
        node = node_of(text, self.description.parts, self.description.source, (*self.path, *key))
        if node not in self.nodes:
            raise self.error(key, f"there is no node {text}", suggest(text, self.nodes, "node"))
        return node

    def part(self, name: str, key: tuple[str | int, ...]) -> Part:
        if name not in self.parts:
            symbol = explain_symbol(name, self.parts)
            if symbol is not None:
                raise self.error(key, *symbol)
            raise self.error(key, f"there is no part {name}", suggest(name, self.parts, "part"))
        return self.parts[name]

    def signals(self) -> list[Part]:
        return [part for part in self.parts.values() if part.kind == "signal"]


def find_excitation(asker: Asker, key: str, driven_by: str | None, candidates: list[Part], node: str) -> Part:
    """The signal that excites: the one that is named, or the only one there is."""
    if driven_by is not None:
        part = asker.part(driven_by, (key, "driven_by"))
        if part.kind != "signal":
            what = f"{driven_by} is {a(part.kind)}, and not a signal"
            raise asker.error(
                (key, "driven_by"), what, suggest(driven_by, [one.name for one in asker.signals()], "signal")
            )
        return part
    if not candidates:
        raise asker.error(
            (key,),
            "no signal drives this circuit",
            'add one, such as Vs = { signal = "voltage", between = ["in", "gnd"] }',
        )
    if len(candidates) > 1:
        names = ", ".join(signal.name for signal in candidates)
        what = f"several signals could drive node {node}: {names}"
        raise asker.error((key,), what, f'write which one: driven_by = "{candidates[0].name}"')
    return candidates[0]
