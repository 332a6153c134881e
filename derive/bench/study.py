"""All measurements of a description.

Enters: a circuit with its bias point. Leaves: Benches, or None where nothing was measured. Must not know: LaTeX.
"""

from __future__ import annotations

from derive.bench.compare import Setup, Unmeasurable, held
from derive.bench.explain import explanations
from derive.bench.records import Benches, Explanation
from derive.bias.records import Bias, Unsolved
from derive.circuit.records import Circuit
from derive.tolerance.levers import Lost


def study(circuit: Circuit, bias: Bias | Unsolved | None) -> Benches | None:
    """Raises DescriptionError where a measurement can be held against nothing."""
    if not circuit.wanted.benches:
        return None
    setups, found = [], []
    for place, bench in enumerate(circuit.wanted.benches):
        try:
            setups.append(Setup(circuit, bias, bench))
            found.append(held(circuit, bias, setups[-1]))
        except (Unmeasurable, Lost) as fault:
            raise circuit.source.error(bench.path, f"bench {place + 1}: {fault}", "") from None
    hints: tuple[Explanation, ...] = ()
    before, tried = 0.0, 0
    if not all(one.agrees for one in found):
        hints, before, tried = explanations(circuit, setups)
    return Benches(tuple(found), hints, before, tried)
