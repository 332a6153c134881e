"""No text gives an exception but ours, none takes long, none runs anything."""

from __future__ import annotations

import ast
import time
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

import derive.hand
from derive.errors import ExpressionError
from derive.expression.dimension import dimension
from derive.expression.limits import check_tree
from derive.expression.tree import Sym, walk
from derive.hand.records import Hand
from tests.hand.samples import TWO_DEVICES, read
from tests.hand.test_spellings import CASES

SECONDS = 10.0
WORDS = (
    "|| // ** \\\\ \\ 10k 4k7 1e999 0 1 ^20 ^{-1} ^(1/2) s j jw f pi where and Rx v(a) sqrt( lambda "
    "\\frac \\dfrac{ \\frac{R_1}{R_2} \\frac12 \\sqrt{ \\sqrt \\left( \\right) \\left. \\left| \\right| "
    "\\bigl( \\| \\parallel \\cdot \\approx \\omega \\beta_1 g_{m1} r_{\\pi2} R_{\\mathrm{load}} "
    "\\mathrm{ \\text{where} \\begin{align} \\end{align} \\begin{array}{rcl} \\begin \\label{a} "
    "\\hspace{1em} \\mathbin{\\|} \\lvert \\rvert \\log_{10} \\infty __class__ __import__('os') "
)
TOKENS = (
    *TWO_DEVICES,
    *"+-*/^=()[]{}|_.,;:&$%#~'\"@ \n\t≈∥·×−²³⁻¹₁₂πωβµΩ√∞≫",
    *WORDS.split(),
    "A = ", "Rx = ", "9" * 70, "{" * 30, "(" * 30,
)  # fmt: skip
soup = st.lists(st.sampled_from(TOKENS), max_size=40).map("".join)
spaced = st.lists(st.sampled_from(TOKENS), max_size=40).map(" ".join)
raw = st.one_of(st.text(max_size=200), st.binary(max_size=200).map(lambda data: data.decode("latin-1")))


@st.composite
def mutated(draw: st.DrawFn) -> str:
    """A right formula with a few characters taken out, put in or exchanged."""
    text = draw(st.sampled_from([text for _, _, text in CASES]))
    for _ in range(draw(st.integers(1, 4))):
        place = draw(st.integers(0, len(text)))
        length = draw(st.integers(0, 3))
        text = text[:place] + draw(st.one_of(st.just(""), st.sampled_from(TOKENS))) + text[place + length :]
    return text


def check(text: str) -> None:
    started = time.process_time()
    try:
        hand = read(text)
    except ExpressionError as error:
        check_error(error, text)
    else:
        check_hand(hand)
    assert time.process_time() - started < SECONDS


def check_error(error: ExpressionError, text: str) -> None:
    """It says what is wrong, and where."""
    assert error.what
    if error.line is not None:
        line = text.replace("\r\n", "\n").split("\n")[error.line - 1]
        assert error.text == line
        assert error.column is None or 1 <= error.column <= len(line) + 1


def check_hand(hand: Hand) -> None:
    """What the records promise."""
    assert hand.links
    assert len({dimension(link.value, TWO_DEVICES) for link in hand.links}) == 1
    for each in (*hand.links, *hand.definitions):
        check_tree(each.value, "")
        names = {part.name for part in walk(each.value) if isinstance(part, Sym)}
        assert names <= {*TWO_DEVICES, "s", "w", "f", "pi"}
        assert each.line >= 1


@settings(max_examples=1500, deadline=None)
@given(st.one_of(soup, spaced))
def test_token_soup(text) -> None:
    check(text)


@settings(max_examples=800, deadline=None)
@given(raw)
def test_any_text(text) -> None:
    check(text)


@settings(max_examples=1500, deadline=None)
@given(mutated())
def test_mutations_of_right_formulas(text) -> None:
    check(text)


def grown(first: str, following: str, last: str) -> str:
    """Ninety definitions, each of the one before it."""
    lines = [f"X{i} = {following.format(f'X{i - 1}')}" for i in range(1, 90)]
    return "\n".join([f"X0 = {first}", *lines, f"A = X89{last}"])


LARGE = {
    "powers": "R1" + "^20" * 900,
    "nested powers": "(" * 39 + "R1" + "^20)" * 39,
    "huge exponent": "R1^" + "9" * 3000,
    "huge number": "9" * 3900,
    "power of ten": "1e999999999*R1",
    "deep brackets": "(" * 3000 + "R1" + ")" * 3000,
    "deep fractions": "\\frac{1}{1+" * 600 + "R_1" + "}" * 600,
    "deep braces": "{" * 1900 + "R_1" + "}" * 1900,
    "deep subscripts": "R_{" * 900 + "1" + "}" * 900,
    "open subscripts": "R_{" * 1300,
    "open fractions": "\\frac{" * 600,
    "many minuses": "-" * 3900 + "R1",
    "many parallels": "||".join(["R1"] * 900),
    "many factors": " ".join(["R1"] * 1300),
    "many divisions": "/".join(["R1"] * 1300),
    "long word": "s" * 3900,
    "long word of known letters": "sw" * 1900,
    "long latex word": "\\frac{" + "sj" * 1800 + "}{1}",
    "long subscript": "R_{" + "1" * 3900 + "}",
    "many lines": "\n".join(f"X{i} = R1" for i in range(1500)),
    "doubling definitions": grown("R1", "({0} + {0})", "/R1"),
    "powers by definitions": grown("R1/R2", "{0}^20", ""),
    "deep by definitions": grown("R1", "R1 || (R2 + {0})", "/R1"),
    "nested choices": "(" * 30 + "1/gm1 Rc" + " || R1 Rc/R2)" * 30,
    "sums of choices": "+".join(["1/gm1 Rc || R1 Rc/R2"] * 150),
    "large numbers": "+".join(["1e40"] * 600) + "^20",
    "spaces": " " * 3900 + "R1",
    "open bars": "\\left|" * 600,
    "kerns": "\\hspace{" * 400,
    "underscores": "R" + "_" * 3900,
    "unicode marks": "R₁" * 1900,
    "long file": "A = R1/R2\n" + "≈ R1/R2\n" * 2000,
}  # fmt: skip


@pytest.mark.parametrize("text", LARGE.values(), ids=LARGE.keys())
def test_large_texts_end_soon(text) -> None:
    check(text)


def test_nothing_evaluates_text() -> None:
    """None of the modules calls what runs a text (tests/test_layers.py asks the same of every module)."""
    for path in Path(derive.hand.__file__).parent.glob("*.py"):
        called = {node.func.id for node in ast.walk(ast.parse(path.read_text("utf-8")))
                  if isinstance(node, ast.Call) and isinstance(node.func, ast.Name)}  # fmt: skip
        assert not called & {"eval", "exec", "compile", "sympify", "__import__", "literal_eval", "parse_expr"}
