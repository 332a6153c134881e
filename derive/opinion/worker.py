"""The program that asks lcapy: ``python -m derive.opinion.worker``, in a folder of its own.

Enters, on standard input, as JSON: a list of jobs, each a netlist and the pairs of node numbers to read,
``{"netlist": …, "asks": [{"key": 0, "above": [1, 0], "below": [2, 0] or null}]}``.
Leaves, on standard output, one JSON object a line, as soon as it is known: first ``{"ready": seconds}``
(lcapy's import), then per ask ``{"key": 0, "numerator": ["p/q", …], "denominator": […], "seconds": …}``,
lowest power of s first, common factors not cancelled, or ``{"key": 0, "failure": …}``.
Must not know: the description, the network, the kernel, what is done with the answer.

lcapy reads the netlist and stamps its modified nodal matrix A0 + s·A1. The determinant and Cramer's
numerators have a degree in s of at most the rank of A1, so exact rational solutions at one more point
than that, interpolated, are the exact polynomials.
"""

from __future__ import annotations

import json
import resource
import sys
import time
from collections.abc import Iterator
from itertools import count
from typing import Any, TextIO

CPU_SECONDS = 120
"""A worker whose parent has died ends itself after this much processor time."""


class Singular(ArithmeticError):
    """The determinant is zero at every s."""


def main() -> None:
    """Answers every job of standard input."""
    resource.setrlimit(resource.RLIMIT_CPU, (CPU_SECONDS, CPU_SECONDS))
    out, sys.stdout = sys.stdout, sys.stderr
    jobs = json.load(sys.stdin)
    began = time.perf_counter()
    import lcapy  # noqa: F401, here and not above: its time counts, and its own prints go to stderr

    _say(out, {"ready": time.perf_counter() - began})
    for job in jobs:
        for answer in answer_job(job):
            _say(out, answer)


def _say(out: TextIO, record: dict[str, Any]) -> None:
    out.write(json.dumps(record) + "\n")
    out.flush()


def answer_job(job: dict[str, Any]) -> list[dict[str, Any]]:
    """The answers to all asks of one netlist, solved once."""
    began = time.perf_counter()
    try:
        constant, linear, source, index = read_matrices(job["netlist"])
        pairs = [ask[side] for ask in job["asks"] for side in ("above", "below") if ask[side] is not None]
        readers = [[index[str(node)] for node in pair] for pair in pairs]
        determinant, voltages = solve(constant, linear, source, readers)
    except Singular:
        return _fail(job, "its equations have no single solution")
    except Exception as error:
        return _fail(job, f"lcapy failed with {type(error).__name__}")
    seconds = (time.perf_counter() - began) / len(job["asks"])
    remaining = iter(voltages)
    answers = []
    for ask in job["asks"]:
        numerator = next(remaining)
        denominator = determinant if ask["below"] is None else next(remaining)
        sides = {"numerator": numerator, "denominator": denominator}
        answers.append({"key": ask["key"], **sides, "seconds": seconds})
    return answers


def _fail(job: dict[str, Any], failure: str) -> list[dict[str, Any]]:
    return [{"key": ask["key"], "failure": failure} for ask in job["asks"]]


def read_matrices(netlist: str) -> tuple[Any, Any, Any, dict[str, int]]:
    """A0, A1 and the right side as exact rational matrices, and the row of each node (-1 for ground)."""
    from flint import fmpq, fmpq_mat
    from lcapy import Circuit
    from lcapy import s as laplace
    from sympy import Poly

    circuit = Circuit(netlist).sub["s"]
    matrix, right = circuit.mna.A.sympy, circuit.mna.Z.sympy
    size, s = matrix.rows, laplace.sympy
    constant, linear, source = fmpq_mat(size, size), fmpq_mat(size, size), fmpq_mat(size, 1)

    def rational(number: Any) -> Any:
        return fmpq(int(number.p), int(number.q))

    for (i, j), entry in matrix.todok().items():
        if entry.is_Rational:
            constant[i, j] = rational(entry)
            continue
        polynomial = Poly(entry, s, domain="QQ")
        if polynomial.degree() > 1:
            raise ValueError("an entry is not linear in s")
        constant[i, j], linear[i, j] = (rational(polynomial.coeff_monomial(s**power)) for power in (0, 1))
    for (i, _), entry in right.todok().items():
        source[i, 0] = rational(entry)
    index = {node: circuit.node_list.index(key) - 1 for node, key in circuit.node_map.items()}
    return constant, linear, source, index


def solve(constant: Any, linear: Any, source: Any, readers: list[list[int]]) -> tuple[list[str], Any]:
    """The coefficients of det(A0 + s·A1), and of it times V(first) - V(second) for each pair of rows."""
    from flint import fmpq, fmpq_mat

    degree = linear.rank()
    points, samples, zeros = [], [], 0
    for point in integers():
        matrix = constant + linear * fmpq(point)
        determinant = matrix.det()
        if determinant == 0:
            zeros += 1
            if zeros > degree:
                raise Singular
            continue
        unknowns = [*matrix.solve(source).entries(), fmpq(0)]  # row -1 is ground
        samples.append([determinant, *(determinant * (unknowns[i] - unknowns[j]) for i, j in readers)])
        points.append(point)
        if len(points) > degree:
            break
    powers = fmpq_mat([[fmpq(point) ** power for power in range(degree + 1)] for point in points])
    columns = powers.solve(fmpq_mat(samples)).transpose().tolist()
    first, *rest = [[str(value) for value in column] for column in columns]
    return first, rest


def integers() -> Iterator[int]:
    """1, -1, 2, -2, … (not 0, where a capacitor leaves its node unconnected)."""
    return (sign * number for number in count(1) for sign in (1, -1))


if __name__ == "__main__":
    main()
