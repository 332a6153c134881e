"""The forms an engineer would write, and that a form which is not equal is never let through."""

from __future__ import annotations

import pytest

from derive.algebra.convert import ratio_of
from derive.algebra.ratio import Ratio
from derive.algebra.ring import Ring
from derive.errors import Defect
from derive.expression.parse import parse_expression
from derive.expression.text import write as write_text
from derive.forms.laurent import Style
from derive.forms.merge import merge
from derive.forms.present import READABLE, present, style_of, write
from derive.forms.trial import points, require_equal
from tests.asking import Asked
from tests.networks import circuit

LAWS = {
    "gm_Q1": "conductance", "rpi_Q1": "resistance", "ro_Q1": "resistance", "R1": "resistance", "R2": "resistance",
    "R3": "resistance", "C1": "capacitance", "C2": "capacitance", "L1": "inductance",
}  # fmt: skip
RING = Ring.of(LAWS)


def style() -> Style:
    sizes = {"conductance": 40, "resistance": 1000, "capacitance": 1, "inductance": 1}
    return style_of(RING, LAWS, {name: sizes[law] for name, law in LAWS.items()})  # type: ignore[misc]


def ratio(text: str) -> Ratio:
    return ratio_of(parse_expression(text), RING)


@pytest.mark.parametrize(
    "text",
    [
        "0", "1", "R1", "-R1", "R1 + R2", "R1 || R2", "R1 || R2 || R3", "1/gm_Q1", "gm_Q1*R1", "-gm_Q1*R1", "R1/R2",
        "1 + R2/R1",
        "beta_Q1*R1", "rpi_Q1 + R1*(1 + beta_Q1)", "R1 + R2 || R3", "gm_Q1*(R1 || R2)",
        "1/(1 + s*R1*C1)", "s*L1", "1/(s*C1)",
    ],
)  # fmt: skip
def test_short_forms_are_kept(text: str) -> None:
    """What is already the shortest form comes back as it was written."""
    form = present(style(), ratio(text))
    assert form.tree is not None
    assert form.complete
    assert write_text(form.tree) == text


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("R1*R2/(R1 + R2)", "R1 || R2"),
        ("(R1 + R2)/R1", "1 + R2/R1"),
        ("gm_Q1*rpi_Q1", "beta_Q1"),
        ("(R1*R2 + R1*R3 + R2*R3)/(R2 + R3)", "R1 + R2 || R3"),
        ("1/(1/R1 + 1/R2 + 1/R3)", "R1 || R2 || R3"),
        # A parallel combination does not stand against one of its own branches.
        ("R2/(R1 + R2)", "R2/(R1 + R2)"),
        ("R2*R3/(R1*R2 + R1*R3 + R2*R3)", "(R2 || R3)/(R1 + R2 || R3)"),
        ("gm_Q1*R1/(1 + gm_Q1*R1)", "gm_Q1*R1/(1 + gm_Q1*R1)"),
        ("1/(1 + R1/R2 + R1/R3)", "(R2 || R3)/(R1 + R2 || R3)"),
        # The minus sign stands in front of the whole, and a parallel combination within a small term.
        ("1/(-1 - gm_Q1*R1)", "-1/(1 + gm_Q1*R1)"),
        ("1/(1 + (R1 + R2)/(gm_Q1*R1*R2*R3))", "1/(1 + 1/(gm_Q1*R3*(R1 || R2)))"),
        # The number common to all branches stands before the parallel combination.
        (
            "1/(1/(R1*(1 + gm_Q1*rpi_Q1)) + gm_Q1*ro_Q1/((R2 + R3)*(1 + gm_Q1*rpi_Q1)))",
            "(1 + beta_Q1)*(R1 || ((R2 + R3)/(gm_Q1*ro_Q1)))",
        ),
        # First order in s: the leading value, and a time constant above and below.
        ("(gm_Q1 - s*C1)/(1/R1 + s*(C1 + C2))", "gm_Q1*R1*(1 - s*C1/gm_Q1)/(1 + s*R1*(C1 + C2))"),
        ("R1 + R2/(1 + s*R2*C1)", "R1 + R2/(1 + s*R2*C1)"),
    ],
)
def test_low_entropy(text: str, expected: str) -> None:
    form = present(style(), ratio(text))
    assert form.tree is not None
    assert write_text(form.tree) == expected


def test_powers_of_s_get_named_coefficients_where_they_are_long() -> None:
    text = (
        "(R1 + s*L1*(R1 + R2) + s**2*C1*L1*R3*(R2 + rpi_Q1))"
        "/(R2 + R3 + s*(L1 + C1*R1*R2 + C2*R3*rpi_Q1) + s**2*L1*(C1*R1 + C2*(R2 + R3)))"
    )
    form = present(style(), ratio(text))
    assert form.named
    assert form.coefficients[0].name.name == "H_0"
    assert all(c.power >= 0 for c in form.coefficients)


def test_letters_tell_sets_of_coefficients_apart() -> None:
    """The same ratio under two sets of letters is two forms, whichever was asked for first."""
    one = style()
    wanted = ratio("(R1 + s*C1*R2*(R1 + R3) + s**2*C1*C2*R1*R2*R3)/(R1 + R2 + s*C2*R1*R3 + s**2*C1*C2*R1*R3*rpi_Q1)")
    exact, other = present(one, wanted), present(one, wanted, letters=("K", "d", "c"))
    assert exact.named
    letters = {"H": "K", "b": "d", "a": "c"}
    assert [c.name.name[0] for c in other.coefficients] == [letters[c.name.name[0]] for c in exact.coefficients]
    assert [c.ratio for c in other.coefficients] == [c.ratio for c in exact.coefficients]
    assert present(one, wanted) is exact


def test_what_is_merged_is_only_what_stands_together() -> None:
    """R1 stands with R2 in parallel above, but alone below: nothing is merged, and the form is still equal."""
    wanted = ratio("R1*R2*(1 + gm_Q1*R3)/((R1 + R2)*(R1 + R3))")
    one = style()
    inner, small = merge(one, wanted)
    assert inner.parts == ()
    assert small.ring.names == ("s", "gm_Q1", "R1", "R2", "R3")
    tree = present(one, wanted).tree
    assert tree is not None
    require_equal(tree, wanted)


def test_merged_symbols() -> None:
    """Three resistances in parallel and two capacitances side by side are two symbols to the search."""
    inner, small = merge(style(), ratio("1/(1/R1 + 1/R2 + 1/R3 + s*C1 + s*C2)"))
    assert [write_text(expr) for _, expr in inner.parts] == ["R1 || R2 || R3", "C1 + C2"]
    assert len(small.ring.names) == 3


def test_what_is_too_long_is_not_printed() -> None:
    names = [f"R{k}" for k in range(1, 31)]
    ring = Ring.of(names)
    one = style_of(ring, dict.fromkeys(names, "resistance"), dict.fromkeys(names, 1))  # type: ignore[arg-type]
    long = ratio_of(parse_expression(f"({' + '.join(names[:15])})*R1/({' + '.join(names[15:])})"), ring)
    assert write(one, long) is None
    form = present(one, long)
    assert form.tree is None
    assert not form.complete


def test_forms_are_readable_by_their_own_measure() -> None:
    one = style()
    form = present(one, ratio("(R1 + R2 + gm_Q1*R1*R2)/(R1 + R3)"))
    assert form.tree is not None
    assert one.cost(form.tree) <= READABLE


def test_an_unequal_form_is_a_defect() -> None:
    require_equal(parse_expression("R1 || R2"), ratio("R1*R2/(R1 + R2)"))
    with pytest.raises(Defect, match=r"R1 \+ R2"):
        require_equal(parse_expression("R1 + R2"), ratio("R1*R2/(R1 + R2)"))


def test_points_are_fixed_and_know_beta() -> None:
    first, second, third = points(RING.names)
    assert points(RING.names)[0] == first != second != third
    assert first["beta_Q1"] == first["gm_Q1"] * first["rpi_Q1"]
    assert all(value > 0 for value in first.values())


def test_a_form_of_a_real_answer() -> None:
    """The input resistance of a degenerated stage, from the circuit to the text of the worksheet's record."""
    parts = (
        'Q1 = { bjt = "npn", base = "in", collector = "out", emitter = "e", gm = "40 mS", rpi = "5k" }\n'
        'Re = { resistor = "1k", between = ["e", "gnd"] }\nRc = { resistor = "1k", between = ["out", "gnd"] }'
    )
    asked = Asked(circuit(parts, 'Z: impedance = { at = "in" }'))
    exact = asked.exact("Z").ratio
    assert exact is not None
    tree = present(asked.style, exact).tree
    assert tree is not None
    assert write_text(tree) == "rpi_Q1 + Re*(1 + beta_Q1)"
