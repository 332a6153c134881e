"""What differs between circuits: parts, assumptions, derivations, costs, criteria, and the choice among them.

Enters: analyses by name, the choice. Leaves: blocks. Must not know: LaTeX.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from math import isfinite

from derive.circuit.wanted import Criterion
from derive.comparing.differences import StepDifference, cost, derivations_of, parts_that_differ, steps_that_differ
from derive.derivation.analysis import Analysis
from derive.derivation.wording import label, statement_words, verdict
from derive.document.compose.criteria import wanted_words
from derive.document.compose.phrases import NOTHING, several
from derive.document.records import Block, Column, Heading, Notice, Paragraph, Table
from derive.expression.tree import Name
from derive.words import Code, Formula, Node, Reading, Strong, Words

STEPS = 6
"""Steps listed that stand on one side only; the worksheets have all."""


@dataclass(frozen=True)
class Choice:
    """The author's question, decision (the name of an option) and reasons; ``options``: what is said of each."""

    question: str
    decision: str
    because: str
    options: Mapping[str, str]


def parts(analyses: Mapping[str, Analysis]) -> list[Block]:
    """What is not alike in the circuits."""
    different = parts_that_differ([analysis.circuit for analysis in analyses.values()])
    heading = Heading(1, ("What is different in the circuit",))
    if not different:
        return [heading, Paragraph(("No part differs.",))]
    columns = (Column(("Part",)), *(Column((name,), width=0.86 / len(analyses)) for name in analyses))
    rows = tuple(((Node(d.name),), *((w,) if w else NOTHING for w in d.words)) for d in different)
    return [heading, Table(columns, rows)]


def assumptions(analyses: Mapping[str, Analysis]) -> list[Block]:
    """Which statements still hold."""
    numbers = sorted({s.number for analysis in analyses.values() for s in analysis.statements})
    if not numbers:
        return []
    columns = (Column(("",)), Column(("Statement",), width=0.4), *(Column((name,)) for name in analyses))
    rows = []
    for number in numbers:
        words: Words = ()
        cells: list[Words] = []
        for analysis in analyses.values():
            resolved = next((s for s in analysis.statements if s.number == number), None)
            if resolved is None:
                cells.append(NOTHING)
                continue
            words = words or statement_words(resolved.statement)
            outcome = verdict(resolved, analysis.worst_alone(number))
            ratio: Words = () if resolved.ratio is None else (" (", Reading(float(resolved.ratio), "1", 3), ")")
            cells.append((Strong(outcome), *ratio) if outcome == "false" else (outcome, *ratio))
        rows.append(((label(number),), words, *cells))
    return [Heading(1, ("Which approximations still hold",)), Table(columns, tuple(rows))]


def steps(analyses: Mapping[str, Analysis]) -> list[Block]:
    """Where the derivations part, against the first circuit."""
    first, *others = analyses
    found: list[Block] = [Heading(1, ("Where the derivations differ",))]
    for question, derivations in derivations_of(analyses).items():
        for name in others:
            if first in derivations and name in derivations:
                found += _step(question, first, name, steps_that_differ(derivations[first], derivations[name]))
    return found if len(found) > 1 else []


def _step(question: str, first: str, other: str, difference: StepDifference) -> list[Block]:
    words: Words = (Formula(Name(question)), f", {other} against {first}: ")
    if not difference.only_first and not difference.only_other:
        return [Paragraph((*words, f"all {several(difference.alike, 'step')} are alike; only numbers differ."))]
    counts = (
        f"{several(difference.alike, 'step')} alike, {len(difference.only_first)} only in {first}, "
        f"{len(difference.only_other)} only in {other}."
    )
    rows = []
    for side, steps in ((first, difference.only_first), (other, difference.only_other)):
        rows += [((side,), (Code(step),)) for step in steps[:STEPS] if len(step) <= LONGEST]
    blocks: list[Block] = [Paragraph((*words, counts))]
    if rows:
        blocks.append(Table((Column(("Only in",)), Column(("Step",), width=0.8)), tuple(rows)))
    return blocks


LONGEST = 160
"""Characters above which a step is not repeated here."""


def costs(analyses: Mapping[str, Analysis]) -> list[Block]:
    columns = (Column(("What it takes",)), *(Column((name,), "right") for name in analyses))
    costs = [cost(analysis) for analysis in analyses.values()]
    rows: list[tuple[Words, ...]] = [
        (("parts",), *((str(one.parts),) for one in costs)),
        (("devices among them",), *((str(one.devices),) for one in costs)),
    ]
    if any(one.current is not None for one in costs):
        rows.append(
            (("largest supply current",), *(_reading(one.current, "A") for one in costs)),
        )
        rows.append((("power from the supplies",), *(_reading(one.power, "W") for one in costs)))
    return [Heading(1, ("What it costs",)), Table(columns, tuple(rows))]


def _reading(value: float | None, unit: str) -> Words:
    return NOTHING if value is None else (Reading(value, unit, 3),)


def criteria(analyses: Mapping[str, Analysis]) -> list[Block]:
    """Each criterion in each circuit."""
    first = next(iter(analyses.values()))
    if not first.criteria:
        return []
    columns = (Column(("Criterion",)), Column(("Wanted",)), *(Column((name,)) for name in analyses))
    rows = []
    for met in first.criteria:
        cells: list[Words] = []
        for analysis in analyses.values():
            own = next((m for m in analysis.criteria if _same(m.criterion, met.criterion)), None)
            if own is None or not isfinite(own.value):
                cells.append(NOTHING)
                continue
            value: Words = (Reading(own.value, own.criterion.unit, 4),)
            cells.append((*value, ", met") if own.holds else (*value, ", ", Strong("not met")))
        rows.append(((met.criterion.name,), wanted_words(met, first.circuit.about.spot), *cells))
    return [Heading(1, ("Criteria",)), Table(columns, tuple(rows))]


def _same(one: Criterion, other: Criterion) -> bool:
    """Whether two criteria ask for the same, wherever they are written."""
    return replace(one, path=(), name="") == replace(other, path=(), name="")


def choice(choice: Choice | None, analyses: Mapping[str, Analysis]) -> list[Block]:
    """The question, the decision, the author's reasons; whether the criteria bear it out."""
    if choice is None:
        return []
    found: list[Block] = [Heading(1, ("The choice",)), Paragraph((choice.question,))]
    found.append(Paragraph((Strong("Decided: "), f"{choice.decision}. ", choice.because)))
    rows = []
    for name, analysis in analyses.items():
        missed = [met.criterion.name for met in analysis.criteria if not met.holds]
        outcome: Words = ("no criterion is stated",)
        if analysis.criteria:
            outcome = (Strong("not met: "), ", ".join(missed)) if missed else ("all criteria are met",)
        rows.append(((Strong(name) if name == choice.decision else name,), outcome, (choice.options.get(name, "–"),)))
    columns = (Column(("Option",)), Column(("Criteria, as computed",), width=0.3),
               Column(("What the author says of it",), width=0.45))  # fmt: skip
    found.append(Table(columns, tuple(rows)))
    decided = analyses.get(choice.decision)
    if decided is not None and any(not met.holds for met in decided.criteria):
        found.insert(0, Notice("warning", (Strong("The option that was chosen misses a criterion."),)))
    return found
