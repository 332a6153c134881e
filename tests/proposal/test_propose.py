"""What is proposed for the worked buffer, for four transistors and for textbook stages."""

from __future__ import annotations

from time import process_time

import pytest

from derive.approximate.reduce import approximate
from derive.derivation.analyse import analyse
from derive.derivation.analysis import Analysis
from derive.description.reader import read, read_text
from derive.document.compose import compose
from derive.document.compose.short import glance
from derive.expression.text import write
from tests.asking import Asked
from tests.networks import circuit
from tests.proposal.circuits import LIGHTHOUSE, WORKED, hydrophone

SECONDS = 10.0
"""Processor time within which statements for the buffer are found, all its questions together."""


def analysed(text: str) -> Analysis:
    return analyse(read_text(text, "test.toml"))


@pytest.fixture(scope="module")
def one_percent() -> Analysis:
    return analysed(hydrophone("1 %"))


@pytest.fixture(scope="module")
def five_percent() -> Analysis:
    return analysed(hydrophone("5 %"))


@pytest.mark.parametrize("which", ["one_percent", "five_percent"])
def test_the_promise_is_kept(which: str, request: pytest.FixtureRequest) -> None:
    found: Analysis = request.getfixturevalue(which)
    for derivation in found.derivations:
        accuracy = float(derivation.question.accuracy or 0)
        assert derivation.proposal is not None
        assert derivation.proposal.outcome == "proposed"
        assert derivation.approximate is not None
        assert derivation.approximate.error.worst <= accuracy
        assert derivation.approximate.error.within == accuracy
        assert sum(derivation.approximate.reduced.terms) < sum(derivation.exact.terms) / 5


def test_all_proposed_statements_hold_and_are_marked(one_percent: Analysis) -> None:
    for resolved in one_percent.statements:
        assert resolved.statement.proposed
        assert all(generator.value >= 10 for generator in resolved.generators)
        if resolved.limit is not None:
            assert (one_percent.worst_alone(resolved.number) or 0) <= 0.1
    assert [s.number for s in one_percent.statements] == list(range(1, len(one_percent.statements) + 1))


def test_the_ladder_falls_from_exact_to_proposed(one_percent: Analysis) -> None:
    for derivation in one_percent.derivations:
        assert derivation.approximate is not None
        sizes = [sum(derivation.exact.terms), *(sum(e.reduced.terms) for e in derivation.approximate.effects)]
        assert sizes == sorted(sizes, reverse=True)
        assert all(effect.used for effect in derivation.approximate.effects)


def test_finding_takes_seconds() -> None:
    asked = Asked(read_text(hydrophone("1 %"), "test.toml"))
    _ = asked.prepared, asked.inquiries
    from derive.derivation.proposals import with_proposals

    start = process_time()
    with_proposals(asked.circuit.questions, asked.inquiries, (), asked.network, asked.ground)
    assert process_time() - start < SECONDS


def test_the_same_every_time(five_percent: Analysis) -> None:
    again = analysed(hydrophone("5 %"))
    assert [s.statement.text for s in again.statements] == [s.statement.text for s in five_percent.statements]


def test_gain_and_return_ratio_fit_a_line_at_five_percent(five_percent: Analysis) -> None:
    """The gain is one; the return ratio is written without named coefficients; Zin's leading value is short."""
    forms = {d.question.name: d.approximate_form for d in five_percent.derivations}
    for name in ("A", "T"):
        assert forms[name] is not None
        assert forms[name].complete
        assert not forms[name].coefficients
    leading = next(c for c in forms["Zin"].coefficients if c.name.name == "K_0")
    assert leading.tree is not None
    assert len(write(leading.tree)) < 70


def test_authors_statements_come_first_and_stay() -> None:
    found = analysed(hydrophone("10 %", stated=True))
    given = [s for s in found.statements if not s.statement.proposed]
    assert len(given) == 14
    assert found.statements[:14] == tuple(given)
    for derivation in found.derivations:
        assert derivation.approximate is not None
        assert derivation.approximate.error.worst <= 0.1
        numbers = [effect.statement for effect in derivation.approximate.effects]
        own = [n for n in numbers if n <= 14]
        assert numbers[: len(own)] == own


def test_where_the_authors_statements_cost_more_nothing_is_proposed() -> None:
    found = analysed(hydrophone("6 %", stated=True))
    proposals = {d.question.name: d.proposal for d in found.derivations}
    assert proposals["T"] is not None
    assert proposals["T"].outcome == "stated already exceed"
    assert not proposals["T"].statements
    text = str(compose(found, ("",), {}))
    assert "the author's statements cost more by themselves" in text
    assert "proposed by the tool" in text
    assert "stated by the author" in text


DIVIDER = """
Vs = { signal = "voltage", between = ["in", "gnd"] }
R1 = { resistor = "1 kΩ", between = ["in", "out"] }
R2 = { resistor = "2 kΩ", between = ["out", "gnd"] }
"""


def test_a_divider_stays_exact() -> None:
    found = analyse(circuit(DIVIDER, 'A: accuracy = "1 %"\ngain = { from = "in", to = "out" }'))
    (derivation,) = found.derivations
    assert derivation.proposal is not None
    assert derivation.proposal.outcome == "nothing simpler"
    assert derivation.approximate is None
    assert "nothing simpler" in str(compose(found, ("",), {}))


BOOK = [
    # Follower of an op amp of finite gain: 1 + R2/R1 (any textbook, "ideal op amp").
    ("""
Vs = { signal = "voltage", between = ["in", "gnd"] }
U1 = { opamp = "finite", plus = "in", minus = "m", out = "out", gain = 1e5 }
R1 = { resistor = "1 kΩ", between = ["m", "gnd"] }
R2 = { resistor = "9.1 kΩ", between = ["m", "out"] }
""", "1 %", "1 + R2/R1"),
    # Degenerated common-emitter stage: -RC/RE (Horowitz and Hill, The Art of Electronics, 2nd ed., 2.07; from memory).
    ("""
Vs = { signal = "voltage", between = ["in", "gnd"] }
Q1 = { bjt = "npn", base = "in", emitter = "e", collector = "out", gm = "80 mS", beta = 300, ro = "1 MΩ" }
R1 = { resistor = "10 kΩ", between = ["out", "gnd"] }
R2 = { resistor = "1 kΩ", between = ["e", "gnd"] }
""", "5 %", "-R1/R2"),
    # Feedback pair: 1 + Rf/Re (from memory).
    ("""
Vs = { signal = "voltage", between = ["in", "gnd"] }
Q1 = { bjt = "npn", base = "in", emitter = "e", collector = "c", gm = "40 mS", beta = 300, ro = "200 kΩ" }
R3 = { resistor = "10 kΩ", between = ["c", "gnd"] }
Q2 = { bjt = "pnp", base = "c", emitter = "gnd", collector = "out", gm = "80 mS", beta = 300, ro = "100 kΩ" }
R2 = { resistor = "10 kΩ", between = ["out", "e"] }
R1 = { resistor = "1 kΩ", between = ["e", "gnd"] }
""", "5 %", "1 + R2/R1"),
]  # fmt: skip


@pytest.mark.parametrize(("parts", "accuracy", "formula"), BOOK, ids=[b[2] for b in BOOK[:2]] + ["pair"])
def test_textbook_formulas_are_found(parts: str, accuracy: str, formula: str) -> None:
    """Asked for the accuracy at which the book's formula holds, the tool finds that formula or a shorter one."""
    asked = Asked(circuit(parts, f'A: accuracy = "{accuracy}"\ngain = {{ from = "in", to = "out" }}'))
    (derivation,) = analyse(asked.circuit).derivations
    assert derivation.approximate is not None
    assert derivation.approximate.reduced.ratio == asked.formula(formula)


def test_four_transistors() -> None:
    """An answer of a quarter of a million terms becomes 1 + Rf/Rk at 5 %."""
    asked = Asked(circuit(LIGHTHOUSE, 'A: accuracy = "5 %"\ngain = { from = "src", to = "out" }'))
    start = process_time()
    (derivation,) = analyse(asked.circuit).derivations
    assert process_time() - start < 3 * SECONDS
    assert sum(derivation.exact.terms) > 250_000
    assert derivation.approximate is not None
    assert derivation.approximate.error.worst <= 0.05
    assert derivation.approximate.reduced.ratio == asked.formula("1 + Rf/Rk")


def test_no_form_on_the_first_page_breaks_the_promise(one_percent: Analysis) -> None:
    """A short form that is shown at a glance keeps the accuracy too, else the proposed one stands there."""
    for derivation in one_percent.derivations:
        row = glance(derivation, (), one_percent.ground.spot)
        if row is not None:
            assert derivation.shortened is not None
            assert derivation.shortened.short.error.worst <= 0.01
            assert derivation.shortened.short.error.within == 0.01


TEN = (
    "beta_Q2 >> 1", "beta_Q3 >> 1", "beta_Q4 >> 1", "gm_Q1*ro_Q1 >> 1", "ro_Q1 >> Rd", "gm_Q4*Ro >> 1", "ro_Q3 >> Re2",
    "Rf*gm_Q4 >> 1", "Rg >> Rf", "gm_Q2*ro_Q2 >> 1",
)  # fmt: skip


def test_ten_statements_take_no_two_seconds() -> None:
    """Of the worked buffer, and of four transistors with a quarter of a million terms."""
    cases = [(Asked(read(WORKED / "harbour_hydrophone.toml")), ("A", "Zin", "T"))]
    asks = ('A: gain = { from = "src", to = "out" }', 'Zin: impedance = { at = "in", without = ["Rs"] }')
    cases.append((Asked(circuit(LIGHTHOUSE, *asks, assume=TEN)), ("A", "Zin")))
    for asked, names in cases:
        for name in names:
            exact = asked.exact(name)
            given = [s for s in asked.statements if name in (s.statement.questions or (name,))]
            assert len(given) >= 8
            start = process_time()
            approximate(exact, given, asked.ground)
            assert process_time() - start < 2


def test_a_bootstrap_keeps_the_accuracy_of_one_minus_it(one_percent: Analysis) -> None:
    """One minus 0.992 to within 1 %: A itself to within a ten-thousandth."""
    derivation = next(d for d in one_percent.derivations if d.question.name == "A_tap")
    assert derivation.approximate is not None
    assert derivation.approximate.reduced.spectrum is not None
    assert derivation.proposal is not None
    assert derivation.proposal.statements
    for frequency in (20, 200, 1000, 20_000):
        left = 1 - derivation.exact.spectrum.at_frequency(frequency)
        other = 1 - derivation.approximate.reduced.spectrum.at_frequency(frequency)
        assert abs(other - left) <= 0.01 * abs(left)


def test_the_short_form_says_under_which_limits_it_began(one_percent: Analysis) -> None:
    derivation = next(d for d in one_percent.derivations if d.question.name == "A")
    assert derivation.shortened is not None
    assert derivation.approximate is not None
    stated = {s.number: s for s in one_percent.statements}
    numbers = [e.statement for e in derivation.approximate.effects if stated[e.statement].limit is not None]
    assert numbers
    assert list(derivation.shortened.short.begun) == numbers
    assert "The network was taken under A1" in str(derivation.shortened.told)
