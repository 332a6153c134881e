"""The controlled source at which the loop of a gain is opened: one choice for everything that is told of a sheet.

Enters: a gain that is asked, its inquiry, the circuit. Leaves: an element, or None. Must not know: words, LaTeX.

The author's choice on the question (``loop``); else the first source whose return ratio is asked and whose loop runs
through the output; else, of those whose loop does, the one with the largest return ratio at the spot.
"""

from __future__ import annotations

from derive.answers.inquire import Unanswerable, inquire
from derive.answers.records import Inquiry
from derive.approximate.ground import Ground
from derive.circuit.records import Circuit, Gain, Question, ReturnRatio
from derive.explain.sources import largest, loops_through_output
from derive.network.records import Element, Network


def chief_of(question: Question, inquiry: Inquiry, circuit: Circuit, ground: Ground) -> Element | None:
    """The chief source of a gain; None where no loop runs through its output. Raises Unanswerable."""
    if question.loop is not None:
        return element_of(question.loop, inquiry.network)
    through = loops_through_output(inquiry, ground)
    for asked in circuit.questions:
        if isinstance(asked.ask, ReturnRatio) and asked.ask.of in through:
            return inquiry.network.element(asked.ask.of)
    return largest(through, inquiry.network)


def chief_of_first_gain(circuit: Circuit, network: Network, ground: Ground) -> str | None:
    """The name of the chief source of the first gain; None without one."""
    question = next((q for q in circuit.questions if isinstance(q.ask, Gain)), None)
    if question is None:
        return None
    element = chief_of(question, inquire(question, network), circuit, ground)
    return element.name if element is not None else None


def element_of(name: str, network: Network) -> Element:
    """A source or part that the author names. Raises Unanswerable where the network does not hold it."""
    try:
        return network.element(name)
    except KeyError:
        why = network.missing.get(name, f"{name} is lifted here, or acts on nothing: both of its ends are on one node")
        raise Unanswerable(f"{name} is not in the network: {why}") from None
