"""Answers of circuits whose values were changed, the bias point following.

Enters: the circuit as described with its bias point, then changed circuits. Leaves: complex answers.
Must not know: why values are changed, LaTeX.

A device that leaves its region changes the network's elements, so diagrams are kept by the network's shape.
"""

from __future__ import annotations

from derive.answers.evaluate import Evaluator
from derive.answers.exact import NoSolution
from derive.answers.inquire import Unanswerable, inquire
from derive.bias.records import Bias, Unsolved
from derive.circuit.records import Circuit
from derive.errors import TooLarge
from derive.network.anew import Anew
from derive.network.records import Network


class Answers:
    """Networks and answers of changed circuits; ``follows``: whether slopes depend on a bias point that follows."""

    def __init__(self, circuit: Circuit, bias: Bias | Unsolved | None) -> None:
        self.circuit, self.anew = circuit, Anew(circuit, bias)
        self._questions = {question.name: question for question in circuit.questions}
        self._made: dict[tuple[object, ...], Evaluator | None] = {}

    @property
    def follows(self) -> bool:
        return self.anew.follows

    def network(self, circuit: Circuit) -> Network | None:
        """The network of a changed circuit; None where its bias point is lost."""
        return self.anew.network(circuit)

    def value(self, network: Network | None, name: str, frequency: float) -> complex:
        """The answer to a question; not a number where there is none in this network."""
        evaluator = None if network is None else self.evaluator(network, name)
        if evaluator is None or network is None:
            return complex("nan")
        return complex(evaluator.at(numbers_of(network), frequency)[0])

    def evaluator(self, network: Network, name: str) -> Evaluator | None:
        """The diagrams of a question in this network; None where it has no answer there."""
        key = (name, tuple((e.name, e.current, e.voltage) for e in network.elements))
        if key not in self._made:
            try:
                self._made[key] = Evaluator(inquire(self._questions[name], network))
            except (NoSolution, Unanswerable, TooLarge):
                self._made[key] = None
        return self._made[key]


def numbers_of(network: Network) -> dict[str, float]:
    """The number of every symbol, in floating point."""
    return {name: float(value) for name, value in network.values().items()}
