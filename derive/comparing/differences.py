"""What differs between circuits and between the derivations of their answers.

Enters: analyses by name. Leaves: plain differences. Must not know: LaTeX.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from derive.bias.records import Bias
from derive.circuit.parts import KINDS
from derive.circuit.records import Circuit, Part
from derive.derivation.analysis import Analysis
from derive.derivation.records import Derivation, Step
from derive.spoken import spoken, spoken_formula

DEVICES = ("bjt", "jfet", "mosfet", "diode", "opamp")


@dataclass(frozen=True)
class PartDifference:
    """A part that is not alike everywhere: in words for each circuit, None where it is not there."""

    name: str
    words: tuple[str | None, ...]


@dataclass(frozen=True)
class StepDifference:
    """Of one answer's derivation in another circuit: steps alike, steps only in the first, only in the other."""

    question: str
    alike: int
    only_first: tuple[str, ...]
    only_other: tuple[str, ...]


@dataclass(frozen=True)
class Cost:
    """What a circuit takes: parts, devices among them, the current and power of its supplies (A, W) or None."""

    parts: int
    devices: int
    current: float | None
    power: float | None


def parts_that_differ(circuits: Sequence[Circuit]) -> tuple[PartDifference, ...]:
    """Parts whose line says something else, in the order of the circuits."""
    names = dict.fromkeys(name for circuit in circuits for name in circuit.parts)
    found = []
    for name in names:
        words = tuple(_words(circuit.parts.get(name)) for circuit in circuits)
        if len(set(words)) > 1:
            found.append(PartDifference(name, words))
    return tuple(found)


def _words(part: Part | None) -> str | None:
    """A part in one line: kind, values, nodes."""
    if part is None:
        return None
    if part.kind == "supply" and not part.values["voltage"].value:
        return f"shorted, {' to '.join(part.pins.values())}"
    head = KINDS[part.kind].head
    value = part.values[head.record_name].text if head is not None else part.variety
    others = [
        f"{key} {q.text}" for key, q in part.values.items() if (head is None or key != head.record_name) and q.text
    ]
    ends = part.pins.values() if len(part.pins) == 2 else [f"{pin} {node}" for pin, node in part.pins.items()]
    return ", ".join([f"{part.kind} {value}".strip(), *others, f"{'between' if len(part.pins) == 2 else 'with'} "
                      + (" and " if len(part.pins) == 2 else ", ").join(ends)])  # fmt: skip


def steps_that_differ(first: Derivation, other: Derivation) -> StepDifference:
    """Steps compared by rule and algebra; numbers are another matter."""
    ours, theirs = ([_text(step) for step in _steps(one)] for one in (first, other))
    alike = sum(min(ours.count(text), theirs.count(text)) for text in set(ours))
    return StepDifference(
        first.question.name,
        alike,
        tuple(text for text in ours if text not in theirs),
        tuple(text for text in theirs if text not in ours),
    )


def _steps(derivation: Derivation) -> list[Step]:
    """Those that hold algebra: remarks tell numbers and counts."""
    steps = [*derivation.equations, *derivation.elimination, *derivation.result, *derivation.approximations]
    return [step for step in steps if step.lines]


def _text(step: Step) -> str:
    algebra = "; ".join(
        f"{'' if line.left is None else spoken_formula(line.left) + ' '}{line.sign} {spoken_formula(line.right)}"
        for line in step.lines
    )
    return f"{spoken(step.rule)}: {algebra}" if algebra else spoken(step.rule)


def cost(analysis: Analysis) -> Cost:
    """Counts, and what the supplies deliver at the bias point."""
    parts = [p for p in analysis.circuit.parts.values() if p.kind not in ("signal", "supply")]
    devices = sum(part.kind in DEVICES for part in parts)
    if not isinstance(analysis.bias, Bias):
        return Cost(len(parts), devices, None, None)
    point = analysis.bias.point
    supplies = [p.name for p in analysis.circuit.parts.values() if p.kind == "supply"]
    current = max((abs(point.currents[name]) for name in supplies), default=0.0)
    power = -sum(point.powers[name] for name in supplies)
    return Cost(len(parts), devices, current, power)


def derivations_of(analyses: Mapping[str, Analysis]) -> dict[str, dict[str, Derivation]]:
    """By question, the derivation in each circuit that asks it and has a finite answer."""
    found: dict[str, dict[str, Derivation]] = {}
    for name, analysis in analyses.items():
        for derivation in analysis.derivations:
            found.setdefault(derivation.question.name, {})[name] = derivation
    return found
