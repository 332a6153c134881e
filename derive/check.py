"""Results by hand checked on the command line: one, a chain of lines, or a file of many claims.

Enters: a circuit, texts. Leaves: judgements, and what the terminal says of them. Must not know: LaTeX, sheets.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass

from derive.answers.exact import answer, is_infinite
from derive.answers.inquire import inquire
from derive.circuit.records import Circuit
from derive.derivation.analyse import Prepared, matter_of, placed, prepare
from derive.derivation.wording import percent
from derive.description.hints import suggest
from derive.document.compose.hand import step_words
from derive.document.compose.verdict import diagnosis_words, headline, verdict_words
from derive.errors import DescriptionError, ExpressionError
from derive.expression.text import write
from derive.hand.claimed import judge_claim, judge_text
from derive.hand.judge import TOLERANCE
from derive.hand.matter import Matter
from derive.hand.verdicts import Judged
from derive.spoken import spoken


@dataclass(frozen=True)
class Checked:
    """One claim of many: its line in the file (None for one of the description), its name, the judgement or the
    complaint."""

    line: int | None
    of: str
    judged: Judged | None
    complaint: str = ""


class Checker:
    """Answers the questions of one circuit as they are needed, each once."""

    def __init__(self, circuit: Circuit) -> None:
        self.circuit = circuit
        self.prepared: Prepared = prepare(circuit)
        self._matters: dict[str, Matter] = {}

    def matter(self, name: str) -> Matter:
        """What a result about a question is judged against. Raises DescriptionError."""
        if name not in self._matters:
            question = next((q for q in self.circuit.questions if q.name == name), None)
            names = [q.name for q in self.circuit.questions]
            if question is None:
                raise DescriptionError(
                    self.circuit.source.name, None, f"there is no question {name}", suggest(name, names, "question")
                )
            with placed(self.circuit, question):
                inquiry = inquire(question, self.prepared.network)
                if is_infinite(inquiry):
                    what = f"the answer to {name} is infinite whatever the numbers, and nothing is compared with it"
                    raise self.circuit.source.error(question.path, what)
                exact = answer(inquiry, self.prepared.ground.numbers, self.prepared.ground.ring)
            self._matters[name] = matter_of(self.prepared, question, exact)
        return self._matters[name]

    def check(self, name: str, text: str, tolerance: float = TOLERANCE) -> Judged:
        """One result by hand about a question. Raises DescriptionError, ExpressionError."""
        return judge_text(text, self.matter(name), tolerance)

    def check_description(self) -> list[Checked]:
        """The results that the description holds. Raises DescriptionError."""
        found = []
        for claim in self.circuit.claims:
            found.append(Checked(None, claim.of, judge_claim(claim, {claim.of: self.matter(claim.of)})))
        return found

    def check_claims(self, text: str, tolerance: float = TOLERANCE) -> list[Checked]:
        """Many claims: each begins with the name of a question and = or ≈, and goes on until the next or an empty
        line."""
        found = []
        for line, name, claim in claims_of(text, [q.name for q in self.circuit.questions]):
            try:
                found.append(Checked(line, name, self.check(name, claim, tolerance)))
            except ExpressionError as error:
                found.append(Checked(line, name, None, str(error)))
        return found


def claims_of(text: str, names: Sequence[str]) -> list[tuple[int, str, str]]:
    """Line, question and text of each claim of a file; lines that begin with # are left out. Raises ExpressionError.

    >>> claims_of("A = R2/R1\\n\\nZ ≈ R1", ["A", "Z"])
    [(1, 'A', 'A = R2/R1'), (3, 'Z', 'Z ≈ R1')]
    """
    found: list[tuple[int, str, str]] = []
    apart = True
    for number, line in enumerate(text.splitlines(), 1):
        if line.lstrip().startswith("#"):
            continue
        if not line.strip():
            apart = True
            continue
        begins = BEGINS.match(line)
        if begins and begins[1] in names:
            found.append((number, begins[1], line.strip()))
        elif apart:
            raise ExpressionError(
                line,
                None,
                f"line {number}: a claim begins with the name of a question",
                f"there are {', '.join(names)}",
            )
        else:
            place, name, claim = found[-1]
            found[-1] = (place, name, f"{claim}\n{line}")
        apart = False
    return found


BEGINS = re.compile(r"\s*\\?([A-Za-z][A-Za-z0-9_]*)\s*(?:=|≈|~=|\\approx)")


def told(judged: Judged) -> str:
    """What the terminal says of one result by hand."""
    lines = [f"{judged.question.name}: {headline(judged)}"]
    if len(judged.links) > 1:
        for place, each in enumerate(judged.links):
            lines.append(
                f"  line {each.link.line}: {each.link.sign} {each.link.text}: {spoken(step_words(judged, place))}"
            )
    last = judged.hand.links[-1]
    # Of what is in another unit no error is told.
    if judged.diagnosis is None or judged.diagnosis.units is None:
        lines.append(spoken(verdict_words(judged.result, judged.tolerance, last.sign)))
    if judged.diagnosis is not None:
        where = ""
        if judged.slip_at is not None and len(judged.links) > 1:
            where = f"The slip is in line {judged.links[judged.slip_at].link.line}. "
        lines.append(where + spoken(diagnosis_words(judged.diagnosis)))
        repair = judged.diagnosis.repair
        if repair is not None and repair.repaired is not None:
            put = "Put right" if repair.finding.kind in ("exact", "stated") else "So it comes close"
            lines.append(f"{put}: {write(repair.repaired)}")
    return "\n".join(lines)


def table(checked: Sequence[Checked]) -> str:
    """Many results in one table: line, question, verdict, error at the spot and at worst, where it went wrong."""
    rows = [("line", "of", "verdict", "error", "at worst", "what")]
    for each in checked:
        place = "" if each.line is None else str(each.line)
        if each.judged is None:
            rows.append((place, each.of, "not read", "", "", each.complaint))
            continue
        error, diagnosis = each.judged.result.error, each.judged.diagnosis
        sizes = ("0", "0") if error is None else (spoken(percent(error.spot)), spoken(percent(error.worst)))
        if diagnosis is not None and diagnosis.units is not None:
            sizes = ("unit", "unit")
        what = spoken(diagnosis_words(diagnosis)) if diagnosis is not None else ""
        if not what and each.judged.result.silent:
            what = (
                spoken(verdict_words(each.judged.result, each.judged.tolerance)).rpartition("; ")[2].partition(". ")[2]
            )
        rows.append((place, each.of, headline(each.judged), *sizes, what))
    widths = [max(len(row[i]) for row in rows) for i in range(5)]
    return "\n".join(
        "  ".join([*(cell.ljust(width) for cell, width in zip(row, widths, strict=False)), row[5]]).rstrip()
        for row in rows
    )
