"""From a description to a Circuit: nets, parts, questions and statements, each checked against the others.

Enters: a Description. Leaves: a checked Circuit, or a DescriptionError.
Must not know: TOML, equations.
"""

from __future__ import annotations

from pathlib import PurePath
from typing import TYPE_CHECKING

from derive.circuit.aliases import check_aliases
from derive.circuit.checks import check_nodes, check_parts
from derive.circuit.claims import build_claims
from derive.circuit.comparisons import build_connections, build_sweeps
from derive.circuit.drawing import build_hints
from derive.circuit.near import resolve_near
from derive.circuit.nets import pins_of
from derive.circuit.questions import build_questions
from derive.circuit.records import About, Circuit, Part
from derive.circuit.scan import build_scan
from derive.circuit.statements import build_statements
from derive.circuit.studies import build_studies
from derive.circuit.vary import check_vary
from derive.circuit.wants import build_wanted

if TYPE_CHECKING:
    from derive.description.outline import Description


def build_circuit(description: Description) -> Circuit:
    """The circuit of a description. Raises DescriptionError where its tables do not fit together."""
    source = description.source
    parts = {
        name: Part(
            name,
            part.kind.name,
            part.variety,
            pins_of(part, description.parts, source),
            part.values,
            part.path,
            part.mains,
            part.tolerances,
            part.together,
        )
        for name, part in description.parts.items()
    }
    check_parts(parts, source)
    check_vary(description.about.vary, parts, source)
    nodes = tuple(dict.fromkeys(node for part in parts.values() for node in part.pins.values()))
    questions = build_questions(description, parts)
    statements = build_statements(description, parts, questions)
    near = resolve_near(description, nodes)
    aliases = check_aliases(description, parts, questions)
    claims = build_claims(description, questions)
    circuit = Circuit(
        _about(description), parts, nodes, questions, statements, source, near, aliases, claims,
        build_connections(description, parts, questions), build_sweeps(description, parts),
        build_hints(description, parts, nodes), build_scan(description, parts, nodes),
        build_studies(description, parts), build_wanted(description, parts, questions),
    )  # fmt: skip
    check_nodes(circuit)
    return circuit


def _about(description: Description) -> About:
    """What the author says of the sheet; without a title it bears the name of the file."""
    said = description.about
    fields = {name: getattr(said, name) for name in type(said).model_fields}
    title = said.title or PurePath(description.source.name).stem or "Circuit"
    temperature, temperatures = said.temperature
    return About(**{**fields, "title": title, "temperature": temperature, "temperatures": temperatures})
