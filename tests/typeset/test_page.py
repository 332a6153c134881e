"""The page: golden fragments, a source that stands alone, and what a reader finds in the PDF."""

from __future__ import annotations

import ast
import re
import shutil
import subprocess
from fractions import Fraction
from pathlib import Path
from types import ModuleType

import pytest

from derive.document.records import Column, Document, Heading, Ledger, Notice, Paragraph, Plot, Row, Table, TitleBlock
from derive.errors import Defect
from derive.expression.tree import Name, Num, Parallel, Product, Relation, Sym
from derive.spoken import spoken
from derive.typeset import compile_pdf, render
from derive.typeset.page import TEMPLATES
from derive.typeset.words import reading, unit
from derive.words import Formula, Line, Node, Reading

GM, RE = Sym("gm_Q1"), Sym("Re")
TITLE = TitleBlock("Tide gauge input (invented)", None, None, None, None, None, None, None, "en")


def body(*blocks: object) -> str:
    """The source between the title block and the colophon."""
    tex = render(Document(TITLE, tuple(blocks), ()), ["gm_Q1", "Re"], ["Q1"]).tex  # type: ignore[arg-type]
    return tex.partition("\\end{titleblock}\n")[2].partition("\\begin{colophon}")[0].strip()


def test_golden_row() -> None:
    row = Row(
        ("A1: ", Formula(Relation(Product((GM, RE)), ">>", Num(Fraction(1))))),
        (Line(Name("A"), "≈", Parallel((RE, Sym("Rc")))),),
        (Reading(-4.545 + 0j, "V/V", 4, "magnitude"),),
        ("costs ", Reading(7.88, "%", 3)),
        "approximate",
    )
    assert (
        body(Ledger((row,)))
        == r"""\begin{ledger}
\approximatestep
  {% the rule
   A1: $g_{\mathrm{m1}} R_{\mathrm{e}} \gg 1$}
  {% small print
   costs $7.88\,\mathrm{\%}$}
  {% the algebra
   \begin{algebra}
     A & \approx R_{\mathrm{e}} \parallel R_{\mathrm{c}}
   \end{algebra}}
  {% the number
   $-4.545$}

\end{ledger}"""
    )


def test_golden_blocks() -> None:
    assert body(Heading(1, ("Gain at ", Node("out_1"), " & more"))) == (
        "\\Needspace{13\\baselineskip}\n"
        r"\section{\texorpdfstring{Gain at \node{out\_1} \& more}{Gain at out\_1 \& more}}"
    )
    assert body(Notice("caution", ("50 % of 60 V",))) == "\\begin{caution}\n  50 \\% of 60 V\n\\end{caution}"
    assert body(Paragraph(("At ", Reading(1000, "Hz", 3), "."))) == r"At $1.00\,\mathrm{kHz}$."
    table = Table((Column(("symbol",)), Column(("value",), "right")), (((Formula(RE),), (Reading(470, "Ω", 3),)),))
    assert r"$R_{\mathrm{e}}$&$470\,\mathrm{\Omega}$\\" in body(table)


@pytest.mark.parametrize(
    ("record", "latex"),
    [
        (Reading(4700, "Ω", 3), r"4.70\,\mathrm{k\Omega}"),
        (Reading(4.7e-6, "F", 2), r"4.7\,\mathrm{\micro F}"),
        (
            Reading(1230 * complex(0.977, -0.213), "Ω", 3, "magnitude"),
            r"1.23\,\mathrm{k\Omega}\ \angle\,{-12.3}^{\circ}",
        ),
        (Reading(-2 + 0j, "V/V", 3, "magnitude"), "-2.00"),
        (Reading(12345.6, "1", 5), r"12\,346"),
        (Reading(1e-12, "s^2", 3), r"1.00 \times 10^{-12}\,\mathrm{s^{2}}"),
        (Reading(6283, "1/s", 4), r"6283\,\mathrm{s^{-1}}"),
        (Reading(float("inf"), "Ω"), r"\infty\,\mathrm{\Omega}"),
        (Reading(-3, "dB", 2), r"-3.0\,\mathrm{dB}"),
        (Reading(45, "°", 3), r"45.0\mathrm{{}^{\circ}}"),
        (Reading(2e-3, "A/V^2", 2), r"2.0\,\mathrm{mA/V^{2}}"),
    ],
)
def test_readings(record: Reading, latex: str) -> None:
    assert reading(record) == latex


def test_what_is_not_a_unit_is_a_defect() -> None:
    with pytest.raises(Defect):
        unit("", r"\input{x}")


def test_words_as_plain_text() -> None:
    assert spoken(("Gain ", Formula(Product((GM, RE))), " at ", Node("out"))) == "Gain gm_Q1*Re at out"


def test_two_plots_of_one_name_are_a_defect(sample: ModuleType) -> None:
    plot = sample.plot()
    with pytest.raises(Defect, match="gain"):
        render(Document(TITLE, (plot, plot), ()))
    with pytest.raises(Defect, match="picture"):
        render(Document(TITLE, (Plot("../gain", (), "1", plot.curves, plot.band, plot.spot),), ()))


def test_templates_are_found_beside_the_package() -> None:
    assert (TEMPLATES / "worksheet.tex").is_file()


def test_the_source_can_be_read_and_edited(sample: ModuleType) -> None:
    tex = render(sample.document(), sample.SYMBOLS, sample.DEVICES).tex
    running = [
        line
        for line in tex.partition("\\begin{document}")[2].splitlines()
        if "&" not in line.replace(r"\&", "") and not line.startswith("  \\field")
    ]
    assert max(len(line) for line in running) < 240
    assert "\n\n\n" not in tex
    assert tex.count("% the algebra") == 9


def test_the_same_document_gives_the_same_source(sample: ModuleType) -> None:
    first, second = (render(sample.document(), sample.SYMBOLS, sample.DEVICES) for _ in range(2))
    assert first == second


@pytest.mark.tex
def test_the_sample_is_set_without_complaint(sample: ModuleType, tmp_path: Path) -> None:
    sheet = render(sample.document(), sample.SYMBOLS, sample.DEVICES)
    pdf = compile_pdf(sheet.tex, sheet.pictures)
    if shutil.which("pdftotext") is None:
        pytest.skip("pdftotext is not on this machine")
    (tmp_path / "sheet.pdf").write_bytes(pdf)
    ask = {"cwd": tmp_path, "capture_output": True, "check": True, "timeout": 60}
    text = subprocess.run(["pdftotext", "sheet.pdf", "-"], **ask).stdout.decode()
    assert "??" not in text
    assert "page 1 of 4" in re.sub(r"\s+", " ", text)
    assert text.count(sample.NASTY.split()[0]) >= 5
    about = subprocess.run(["pdfinfo", "sheet.pdf"], **ask).stdout.decode()
    assert re.search(r"Title: +Rain gauge preamplifier \(invented\)", about)
    assert sample.NASTY in about
    fonts = subprocess.run(["pdffonts", "sheet.pdf"], **ask).stdout.decode()
    assert all(" yes " in line for line in fonts.splitlines()[2:])


@pytest.mark.tex
def test_the_source_stands_alone(sample: ModuleType, tmp_path: Path) -> None:
    """With its pictures beside it, and nothing of this program, two passes of pdflatex make the page."""
    sheet = render(sample.document(), sample.SYMBOLS, sample.DEVICES)
    (tmp_path / "worksheet.tex").write_text(sheet.tex, "utf-8")
    for name, content in sheet.pictures.items():
        (tmp_path / name).write_bytes(content)
    for _ in range(2):
        run = ["pdflatex", "-interaction=nonstopmode", "-halt-on-error", "worksheet.tex"]
        assert subprocess.run(run, cwd=tmp_path, capture_output=True, check=False, timeout=60).returncode == 0
    assert (tmp_path / "worksheet.pdf").stat().st_size > 20_000


@pytest.mark.tex
def test_long_tables_rules_and_algebra_break_across_pages(sample: ModuleType) -> None:
    long_row = Row(("a reason that goes on " * 150,), (Line(Name("A"), "=", sample.wide_sum(160)),), (Reading(1, "1"),))
    blocks = (Ledger((long_row,) * 2), sample.long_table(120), Notice("note", ("words " * 1200,)))
    assert compile_pdf(render(Document(TITLE, blocks, ())).tex, {}).startswith(b"%PDF")


def test_heavy_libraries_are_not_loaded_early() -> None:
    """Neither numbers nor the page load what draws."""
    for module in ("derive.numbers", "derive.typeset"):
        code = (
            f"import sys, {module}; print([m for m in ('matplotlib', 'sympy', 'scipy', 'lcapy') if m in sys.modules])"
        )
        import sys

        run = subprocess.run([sys.executable, "-c", code], capture_output=True, check=True, timeout=60)
        assert ast.literal_eval(run.stdout.decode()) == []
