"""No text reaches TeX as anything but text."""

from __future__ import annotations

import re

import pylatex
import pytest
from hypothesis import given
from hypothesis import strategies as st

from derive.document.records import Column, Document, Heading, Notice, Paragraph, Table, TitleBlock
from derive.typeset import compile_pdf, render
from derive.typeset.escape import LETTERS, MATHEMATICAL, SPECIALS, Latex, escape, escape_code, escape_plain
from derive.words import Code, Node, Strong

COMMAND = re.compile(
    r"\\(?:ensuremath\{\\[A-Za-z]+\}|missing\{[0-9A-F]{4,6}\}|breakable\{\}|text[a-z]+\{\}|guillemot(?:left|right)\{\}"
    r"|quote(?:singl|dbl)base\{\}|mbox\{-\}|pounds\{\}|dots\{\}|[SPc]\{\}|textsuperscript\{TM\}|[,\-&%$#_{}])"
)
SPECIAL = set("\\{}$&#%_^")
WORST = [
    r"Tom & Jerry_100% #$^~\input{/etc/passwd}", r"\end{document}", "^^5cinput", "% comment",
    "a\nb\n\nc", "\x00\x07\x1b",
    "--- -- ,, '' `` ?` !` << >>", "{{{", "}}}", "$$", r"\\", "~", '"', "Ω µ − ≥ ∞", "\u202e", "e\u0301", "中文", "𝔘",
    r"\VAR{title}", "{% raw %}", "ffi fl", "a" * 300, "_" * 80, "-" * 200, "[1] x", "*", "]", "W" * 40,
]  # fmt: skip


def unescaped(latex: str) -> str:
    """What is left after all that the escaping may produce, of characters special to TeX."""
    rest = COMMAND.sub("", latex).replace("{}", "")
    return "".join(char for char in rest if char in SPECIAL)


@given(st.text())
def test_never_leaves_a_special(text: str) -> None:
    for escaped in (escape(text), escape_code(text), escape_plain(text)):
        assert unescaped(escaped) == ""
        assert all(char in LETTERS or " " <= char <= "~" for char in escaped)


@pytest.mark.parametrize("text", WORST)
def test_never_leaves_a_special_of_the_worst(text: str) -> None:
    assert unescaped(escape(text)) == ""


def test_golden() -> None:
    assert escape(r"50 % of R_1 & {x} \ ^ ~ # $") == (
        r"50 \% of R\_1 \& \{x\} \textbackslash{} \textasciicircum{} \textasciitilde{} \# \$"
    )
    assert escape("10 kΩ − 3 µA ≥ 0") == r"10 k\textohm{} \textminus{} 3 \textmu{}A \ensuremath{\geq} 0"
    assert escape("R5 << R6 -- ''") == r"R5 \textless{}\textless{} R6 -{}- '{}'"
    assert escape("\x07中") == r"\missing{0007}\missing{4E2D}"
    assert escape("n\u0303") == "ñ"
    assert escape("a\n b") == "a b"


def test_marked_latex_and_pylatex_pass_and_nothing_else() -> None:
    assert escape(Latex(r"\alpha")) == r"\alpha"
    assert escape(pylatex.NoEscape(r"\input{x}")) == r"\textbackslash{}input\{x\}"
    assert escape(pylatex.Command("textbf", "x")) == r"\textbf{x}"
    assert escape(None) == ""
    assert escape(Latex("a") + "&") == r"a\&"


def test_tables_of_characters_do_not_overlap() -> None:
    assert not (SPECIALS.keys() & MATHEMATICAL.keys())
    assert not (SPECIALS.keys() & LETTERS)


def everywhere(texts: list[str]) -> Document:
    """A document with each text in every place where a text can stand."""
    blocks = []
    for text in texts:
        blocks += [
            Heading(2, (text, Strong(text))),
            Paragraph((text, " ", Code(text), " ", Node(text), " ", Strong(text))),
            Notice("note", (text,)),
            Table((Column((text,)), Column((text,), width=0.3)), (((text,), (Code(text),)),), (text,)),
        ]
    first = texts[0]
    title = TitleBlock(first, first, first, first, first, first, first, first, first)
    return Document(title, tuple(blocks), tuple((text, text) for text in texts))


@pytest.mark.tex
def test_the_worst_texts_compile_in_every_place() -> None:
    sheet = render(everywhere(WORST))
    assert compile_pdf(sheet.tex, sheet.pictures).startswith(b"%PDF")


@pytest.mark.tex
def test_every_known_character_compiles() -> None:
    known = [*SPECIALS, *MATHEMATICAL, *sorted(LETTERS), *(chr(code) for code in range(32, 127))]
    sheet = render(everywhere([" ".join(known[start : start + 60]) for start in range(0, len(known), 60)]))
    assert compile_pdf(sheet.tex, sheet.pictures).startswith(b"%PDF")


@pytest.mark.tex
def test_random_texts_compile() -> None:
    texts: list[str] = []

    @given(st.text(min_size=1, max_size=60))
    def gather(text: str) -> None:
        texts.append(text)

    gather()
    sheet = render(everywhere(texts[-25:]))
    assert compile_pdf(sheet.tex, sheet.pictures).startswith(b"%PDF")
