"""A line that is too wide costs another attempt, not the sheet; tables and cells break where they should."""

from __future__ import annotations

import re
from collections.abc import Callable
from itertools import pairwise
from pathlib import Path
from types import ModuleType

import pytest

from derive.document.records import Column, Document, Heading, Ledger, Paragraph, Row, Table, TitleBlock
from derive.errors import ToolMissing
from derive.expression.tree import Expr, Quotient, Sum, Sym, Volt, product
from derive.typeset import Sheet, compile_pdf, render, typeset
from derive.typeset import sheet as sheets
from derive.typeset.compile import TooWide
from derive.typeset.pieces import Piece
from derive.typeset.room import room
from derive.words import Formula, Line, Reading, Words

TITLE = TitleBlock("Tide gauge input (invented)", None, None, None, None, None, None, None, "en")
PARTS: tuple[Expr, ...] = tuple(Sym(name) for name in ("R1", "R2", "R3", "R4", "C1", "C2"))
SYMBOLS = ["R1", "R2", "R3", "R4", "C1", "C2"]


def document(*blocks: object, colophon: tuple[tuple[str, str], ...] = ()) -> Document:
    return Document(TITLE, blocks, colophon)  # type: ignore[arg-type]


def sums() -> Ledger:
    terms = [product(PARTS[k % 6], PARTS[(k + 1) % 6]) for k in range(40)]
    return Ledger((Row(("a long sum",), (Line(Volt("out"), "=", Sum(tuple(terms))),), ()),))


@pytest.mark.tex
def test_an_underestimated_width_costs_another_attempt(monkeypatch: pytest.MonkeyPatch) -> None:
    """All widths are taken for a twelfth less than they are: the first attempt is too wide, a later one is not."""
    true = Piece.__init__

    def narrow(self: Piece, latex: str, width: float, *rest: object, **named: object) -> None:
        true(self, latex, width if width > 3 else width * 0.88, *rest, **named)  # type: ignore[arg-type]

    monkeypatch.setattr(Piece, "__init__", narrow)
    first = render(document(sums()), SYMBOLS)
    with pytest.raises(TooWide):
        compile_pdf(first.tex, first.pictures)
    sheet, pdf = typeset(document(sums()), SYMBOLS)
    assert pdf.startswith(b"%PDF")
    assert sheet.tex != first.tex


def test_attempts_end(monkeypatch: pytest.MonkeyPatch) -> None:
    """Where nothing helps, the last complaint is told; each attempt has less to fill."""
    tried: list[float] = []

    def note(*_: object, budget: float, **__: object) -> Sheet:
        tried.append(budget)
        return Sheet("", {})

    def refuse(*_: object) -> bytes:
        raise TooWide(f"attempt {len(tried)}")

    monkeypatch.setattr(sheets, "require_engine", lambda: "pdflatex")
    monkeypatch.setattr(sheets, "render", note)
    monkeypatch.setattr(sheets, "compile_pdf", refuse)
    with pytest.raises(TooWide, match="attempt 3"):
        typeset(document())
    assert tried == [1.0, 0.93, 0.86]


def test_without_tex_nothing_is_rendered(monkeypatch: pytest.MonkeyPatch, tmp_path: object) -> None:
    monkeypatch.setenv("PATH", str(tmp_path))
    monkeypatch.setattr(sheets, "render", lambda *_, **__: pytest.fail("rendered in vain"))
    with pytest.raises(ToolMissing):
        typeset(document())


@pytest.mark.tex
def test_a_usual_sheet_needs_one_attempt(sample: ModuleType) -> None:
    sheet, _ = typeset(sample.document(), sample.SYMBOLS, sample.DEVICES)
    assert sheet == render(sample.document(), sample.SYMBOLS, sample.DEVICES)


def table(rows: int) -> Table:
    cells = tuple(
        ((f"row {k}",), ("words that go on for a while, over two lines of the column " * 2,)) for k in range(rows)
    )
    return Table((Column(("Number",)), Column(("Remarkable",), width=0.5)), cells)


def test_a_long_table_is_made_to_break() -> None:
    """A rule under its head as in a short one; the last two rows stay together, and so do the first two."""
    short, long = (render(document(table(count))).tex for count in (3, 12))
    assert re.search(r"Remarkable}\\\\%?\n\\midrule", short)
    assert re.search(r"Remarkable}\\\\%?\n\\midrule%?\n\\endhead%?\n\\bottomrule%?\n\\endfoot", long)
    kept = [int(number) for number in re.findall(r"row ([0-9]+)&[^&]*?\\\\\*", long)]
    assert kept == [0, 10]
    assert "\\Needspace{8" in long


@pytest.mark.tex
def test_no_head_stands_above_the_words_before_its_table(tmp_path: Path, text_of: Callable[[bytes, Path], str]) -> None:
    """Wherever on the page a heading with a long table begins, the head is first seen after the words."""
    blocks: list[object] = []
    for count in range(24):
        blocks += [Paragraph((f"line {line} of {count}",)) for line in range(count)]
        blocks += [Heading(1, (f"Heading {count}",)), Paragraph(("Foreword",)), table(11)]
    sheet = render(document(*blocks))
    pages = text_of(compile_pdf(sheet.tex, sheet.pictures), tmp_path).split("\f")
    pieces = re.findall(r"Heading|Foreword|Remarkable|row [0-9]+", "\n".join(pages))
    rows = [int(piece[4:]) for piece in pieces if piece.startswith("row")]
    assert rows == list(range(11)) * 24
    for before, after in pairwise(pieces):
        if after == "Remarkable":
            assert before.startswith(("Foreword", "row"))
        if before == "Remarkable":
            assert after.startswith("row"), "a head is followed by rows"
            assert after != "row 10", "no last row alone"
    assert pieces.count("Remarkable") > 24, "some tables do go over the page"


def number(words: Words) -> str:
    line = Line(Volt("out"), "=", PARTS[0])
    tex = render(document(Ledger((Row(("law",), (line,), words),))), SYMBOLS).tex
    return tex.partition("% the number\n")[2].partition("}\n\n")[0].strip()


def test_a_number_that_does_not_fit_beside_its_label_begins_a_line() -> None:
    label = Formula(Quotient(Volt("out"), Volt("src")))
    assert number((label, " = ", Reading(0.99, "V/V", 3))) == r"$v_{\mathrm{out}}/v_{\mathrm{src}}$ = $0.990$"
    long = number((label, " = ", Reading(6.014e3 * complex(0.6, 0.8), "Ω", 4, "magnitude")))
    assert re.fullmatch(r"\$v_.*\$ =\\\\\s\$6.014.*\$", long)


def test_several_numbers_stand_below_one_another() -> None:
    one, two = (Formula(Volt(node)) for node in ("out", "src"))
    several = number((one, " = ", Reading(1.5, "V", 3), ", ", two, " = ", Reading(2.5, "V", 3)))
    assert re.fullmatch(r"\$v_.*\$ = \$1.50.*\$\\\\\s\$v_.*\$ = \$2.50.*\$", several)


@pytest.mark.parametrize("count", [0, 1, 3])
def test_separators_stand_between_items(count: int) -> None:
    items = tuple((f"part{k}", "1.0") for k in range(count))
    tex = render(document(colophon=items)).tex
    assert re.findall(r"\\colophonline\{(.*)\}", tex) == [
        rf"part{k}}}{{1.0{';' if k < count - 1 else ''}" for k in range(count)
    ]


def test_neither_the_first_nor_the_last_row_of_a_ledger_is_alone() -> None:
    """Short rows are kept together; tall ones are not, for two of them could be taller than a page."""
    short = tuple(Row((f"row {k}",), (Line(Volt("out"), "=", PARTS[k]),), ()) for k in range(5))
    tall = tuple(Row((f"row {k}", " of many words" * 90), (Line(Volt("out"), "=", PARTS[k]),), ()) for k in range(5))
    kept = [re.findall(r"\\keptrowtrue\n[^{]*\{[^\n]*\n *(row [0-9])", render(document(Ledger(rows)), SYMBOLS).tex)
            for rows in (short, short[:2], short[:1], tall)]  # fmt: skip
    assert kept == [["row 1", "row 4"], ["row 1"], [], []]


def test_a_heading_asks_for_room_up_to_the_first_rows_of_what_follows() -> None:
    """A section followed by words, a subsection and a tall first row needs all of that; at most half a page."""
    blocks = (
        Heading(1, ("Gain",)),
        Paragraph(("Few words.",)),
        Heading(2, ("Laws",)),
        Ledger(()),
        Heading(2, ("End",)),
    )
    rooms = [room(blocks, place, {3: 12.0}, {1: 1.0}) for place in (0, 2, 4)]
    assert rooms[0] >= 4 + 1 + 3 + 12
    assert 3 + 12 <= rooms[1] < rooms[0]
    assert rooms[2] == 7
    assert room(blocks, 0, {3: 500.0}, {1: 1.0}) == 32
