"""Single answers for programs that do not need a worksheet.

Enters: a circuit, the name of a question. Leaves: its bias point; the exact answer to the question.
Must not know: LaTeX, files.
"""

from __future__ import annotations

from derive.answers.exact import answer as solve
from derive.answers.inquire import inquire
from derive.answers.records import Exact
from derive.bias.records import Bias, Unsolved
from derive.bias.solve import solve as solve_bias
from derive.circuit.records import Circuit
from derive.derivation.analyse import placed, prepare


def bias_point(circuit: Circuit) -> Bias | Unsolved | None:
    """The operating points of a circuit by the laws of its devices; Unsolved says in words why there is none.

    ``bias.point.nodes`` in volts, ``bias.point.currents`` in amperes, ``bias.point.devices`` with region and slopes
    in siemens. None where there is nothing to bias. Pure: a circuit with another value is solved anew.

    >>> from derive.description.reader import read_text
    >>> circuit = read_text('''
    ... [parts]
    ... Vcc = { supply = "5 V", at = "vcc" }
    ... R1 = { resistor = "4.3 kΩ", between = ["vcc", "a"] }
    ... D1 = { diode = "silicon", anode = "a", cathode = "gnd" }
    ... [[question]]
    ... name = "Z"
    ... impedance = { at = "a" }
    ... ''', "diode.toml")
    >>> round(bias_point(circuit).point.currents["D1"] * 1e3, 3)
    1.012
    """
    return solve_bias(circuit)


def answer(circuit: Circuit, name: str) -> Exact:
    """The exact answer to a question of the description, symbolic and numeric.

    ``exact.spectrum.at_frequency(f)`` is its complex value at f hertz (a Fraction), in the unit
    ``exact.inquiry.unit``; ``exact.ratio`` its ratio of polynomials, None where the terms are too many.
    Raises KeyError for a question that is not there, and DescriptionError.

    >>> from derive.description.reader import read_text
    >>> circuit = read_text('''
    ... [parts]
    ... Vs = { signal = "voltage", between = ["in", "gnd"] }
    ... R1 = { resistor = "3 kΩ", between = ["in", "out"] }
    ... R2 = { resistor = "1 kΩ", between = ["out", "gnd"] }
    ... [[question]]
    ... name = "A"
    ... gain = { from = "in", to = "out" }
    ... ''', "divider.toml")
    >>> answer(circuit, "A").spectrum.at_frequency(circuit.about.spot)
    (0.25+0j)
    """
    prepared = prepare(circuit)
    question = next((q for q in circuit.questions if q.name == name), None)
    if question is None:
        raise KeyError(name)
    with placed(circuit, question):
        return solve(inquire(question, prepared.network), prepared.ground.numbers, prepared.ground.ring)
