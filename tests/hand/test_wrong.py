"""What cannot be read is refused in words, with its line and column."""

from __future__ import annotations

import pytest

from derive.errors import ExpressionError
from derive.expression.tree import Sym
from tests.hand.samples import ONE_DEVICE, TWO_DEVICES, read

# Text, line, column, what the message must hold.
WRONG = [
    ("gm*Rc", 1, 1, ["did you mean", "gm_Q1, gm_Q2 or gm_J3", "[alias]"]),
    ("-gm4*Rc", 1, 2, ["gm4", "did you mean", "gm_Q1"]),
    (r"R_1 + g_{m} R_1^2", 1, 7, ["g_{m}: did you mean gm_Q1, gm_Q2 or gm_J3?"]),
    ("R1/r_e", 1, 4, ["r_e is not a symbol here", "1/gm_Q1", "Re?"]),
    (r"\frac{R_c}{r_{e2}}", 1, 12, ["not a symbol here", "1/gm_Q2", "define r_e2"]),
    ("R9 + R1", 1, 1, ["R9 is not a symbol of this circuit"]),
    ("Rlode + R1", 1, 1, ["did you mean Rload?"]),
    ("Zin/R1", 1, 1, ["name of a question"]),
    ("A = v_out/v_in = -Rc/Re", 1, 5, ["v_out", "without the voltages"]),
    ("v(out)/R1", 1, 1, ["v(out)", "without the voltages"]),
    ("|A| = Rc/Re", 1, 1, ["single bar"]),
    (r"\lvert A \rvert = R_c/R_e", 1, 1, ["magnitude", "write A itself"]),
    ("R1 = R2", 1, 1, ["R1 is a symbol of the circuit already"]),
    ("s = R1", 1, 1, ["meaning of its own"]),
    ("beta1*Re || R1", 1, 10, ["two ways", "beta1*(Re || R1) or (beta1*Re) || R1", "brackets"]),
    (r"1/2\pi R_1C_1", 1, 2, ["two ways", "brackets"]),
    ("1/gm1 Rc", 1, 2, ["two ways", "1/gm1*Rc or 1/(gm1*Rc)"]),
    ("R1 + C1", 1, 1, ["R1 is in ohms, C1 is in farads"]),
    ("-Rc/(1 + s*C1/R1)", 1, 6, ["1 is a pure number, s*C1/R1 is in S²"]),
    (r"R_1/\left(1 + \frac{R_c}{1 + R_e}\right)", 1, 26, ["1 is a pure number, R_e is in ohms"]),
    ("gm_Q1 || R1", 1, 1, ["gm_Q1 is in siemens, R1 is in ohms"]),
    (r"1 + g_{m1} + \frac{R_c}{R_e}", 1, 1, ["1 is a pure number, g_{m1} is in siemens"]),
    (r"\sqrt{R_1} + R_1", 1, 1, ["in Ω^1/2", "R_1 is in ohms"]),
    ("A = -Rc/Re = -gm1/Re", 1, 14, ["-Rc/Re is a pure number, -gm1/Re is in S²"]),
    ("A = -Rc/Re\n  ≈ gm1", 2, 5, ["pure number", "gm1 is in siemens"]),
    ("Zin = R1 || R2 = 3.2k", 1, 18, ["R1 || R2 is in ohms, 3.2k is a pure number", "leave the number out"]),
    ("Cgs1*R1", 1, 1, ["Cgs1 is not a symbol", "no device here has Cgs"]),
    ("Ic/VT*Rc", 1, 1, ["Ic is not a symbol", "write gm for I/VT"]),
    (r"V_{src}/R_1", 1, 1, ["V_{src} is not a symbol", "without the voltages"]),
    ("Rx = R1 + C1\nA = Rx/R1", 1, 6, ["R1 is in ohms, C1 is in farads"]),
    ("Rx = R1*R2\nA = Rx + R1", 2, 5, ["Rx is in Ω², R1 is in ohms"]),
    ("gm1//gm2", 1, 4, ["// is read as parallel between impedances only"]),
    ("2//3", 1, 2, ["between impedances only"]),
    ("Rx = R1\nA = R2/R1", 1, 1, ["Rx is defined and never used"]),
    ("Rx = R1\nRx = R2 + R1\nA = Rx/Re", 2, 6, ["R2 + R1 is not R1"]),
    ("Rx = R1\nA = Rx/Re\nRx = R2", 3, 1, ["Rx is defined twice"]),
    ("Re = R1; A = Re/R2", 1, 1, ["Re is a symbol of the circuit already"]),
    (r"R_{e} = R_1; A = R_e/R_2", 1, 1, ["R_{e} is a symbol of the circuit already (Re)"]),
    ("Rx = Ry + R1\nRy = Rx\nA = Rx/R1", 1, 1, ["through itself"]),
    ("A = A*R1/R2", 1, 1, ["through itself"]),
    ("R1/R2\nR2/R1", 1, 1, ["second result"]),
    ("R1 +", 1, 4, ["breaks off after +"]),
    ("A =", 1, 3, ["nothing stands after ="]),
    ("A = R1/R2 ≈", 1, 11, ["nothing stands after ≈"]),
    ("(R1 + R2", 1, 1, ["( is not closed"]),
    ("R1 + R2)", 1, 8, [") was never opened"]),
    ("(R1 + R2]", 1, 9, ["closes a bracket that ( opened"]),
    (r"\frac{R_1}{R_2", 1, 11, ["{ is not closed"]),
    (r"\frac{R_1} R_2", 1, 12, ["two groups in braces"]),
    (r"\frac R_1 R_2", 1, 7, ["two groups in braces"]),
    (r"\sqrt[3]{R_1}", 1, 1, ["only square roots"]),
    (r"\left(R_1 + \foo{R_2}\right)", 1, 13, [r"\foo is not read here"]),
    (r"\begin{tikzpicture} R_1", 1, 1, ["environment tikzpicture"]),
    (r"R_{1\foo}", 1, 3, ["subscript"]),
    (r"R_1 \gg R_2", 1, 5, ["inequality", "[[assume]]"]),
    (r"\ln(R_1/R_2)", 1, 1, [r"\ln is not read here"]),
    (r"\log(R_1/R_2)", 1, 1, ["base of this logarithm"]),
    ("R1 * / R2", 1, 6, ["something is missing after *"]),
    ("*R1", 1, 1, ["* needs something to its left"]),
    ("R1 R2 3", 1, 7, ["operator is missing before 3"]),
    ("10 000*R1", 1, 4, ["operator is missing"]),
    ("4k7 + R1", 1, 1, ["letter code", "4.7k"]),
    ("4,7*R1", 1, 2, [". as the decimal point"]),
    ("4.7 kΩ + R1", 1, 4, ["a unit is not read"]),
    ("2f*R1*C1", 1, 1, ["prefix or a frequency"]),
    ("R1^0.3", 1, 3, ["exponent"]),
    ("R1^R2", 1, 4, ["exponent is a whole number"]),
    ("R1^21", 1, 3, ["not a whole number within"]),
    ("R1^2^3", 1, 5, ["power of a power"]),
    ("((((R1^5)^5)^5)^5)", 1, 1, ["powers of powers"]),
    ("1/(R1 - R1)", 1, 1, ["divides by what is zero"]),
    ("R1/0", 1, 3, ["division by zero"]),
    (r"\frac{R_1}{0}", 1, 1, ["division by zero"]),
    ("1 + j*R1/R2", 1, 5, ["j stands here without the ω"]),
    ("R1 @ R2", 1, 4, ["'@' is not part of a formula"]),
    ("R1 ≫ R2", 1, 4, ["[[assume]]"]),
    ("R1'", 1, 3, ["prime"]),
    ("(A = R1)", 1, 4, ["= stands within brackets"]),
    ("", None, None, ["nothing is written"]),
    ("# only a comment", None, None, ["nothing is written but comments"]),
    ("(" * 50 + "R1" + ")" * 50, 1, 41, ["nested more than 40"]),
    ("R1" + "+R1" * 1500, 1, 4001, ["characters"]),
    ("R1" + "/R1" * 1000, 1, 1, ["nested too deep"]),
    ("\n".join("R1" for _ in range(7000)), None, None, ["characters"]),
    ("\n".join(["X0 = R1"] + [f"X{i} = X{i - 1} + X{i - 1}" for i in range(1, 60)] + ["A = X59/R1"]), None, None,
     ["definitions put in"]),
]  # fmt: skip


@pytest.mark.parametrize(("text", "line", "column", "words"), WRONG, ids=[case[0][:40] for case in WRONG])
def test_what_is_wrong_is_told(text, line, column, words) -> None:
    with pytest.raises(ExpressionError) as caught:
        read(text)
    error = caught.value
    for word in words:
        assert word in str(error)
    if column is not None:
        assert (error.line, error.column) == (line, column)
        assert error.text == text.split("\n")[line - 1]


def test_a_word_that_is_a_name_and_a_product_is_refused() -> None:
    units = {"R": "Ω", "C": "F", "Rc": "Ω"}
    with pytest.raises(ExpressionError, match=r"RC: did you mean Rc or R·C\?"):
        read("1 + sRC*RC", units)


def test_a_name_is_never_the_other_of_two_that_differ_in_case() -> None:
    units = {"Rb": "Ω", "RB": "Ω"}
    assert [read(text, units).links[0].value for text in ("R_b", "RB")] == [Sym("Rb"), Sym("RB")]
    with pytest.raises(ExpressionError, match="did you mean Rb or RB"):
        read("2*rb", units)


def test_one_device_needs_no_number() -> None:
    assert read("gm*R1", ONE_DEVICE).links[0].value == read("gm_Q1*R1", TWO_DEVICES).links[0].value
