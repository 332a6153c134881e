"""Decision diagrams by themselves, and the order of the elements."""

from __future__ import annotations

from random import Random

import pytest

from derive.kernel.diagram import Diagram
from derive.kernel.order import order_elements

ONE = 1
"""The reference of the number one."""


def test_nodes_are_shared_and_carry_signs() -> None:
    diagram = Diagram(["a", "b"])
    assert diagram.node(1, ONE, ONE) == diagram.node(1, ONE, ONE) == -diagram.node(1, -ONE, -ONE)
    assert diagram.node(0, 5, 0) == 5
    assert diagram.size == 1


def test_skipped_elements_multiply_what_deleting_them_gives() -> None:
    """(a + b) over three elements with deleted weights 2, 3, 5: the third one is skipped by every path."""
    diagram = Diagram(["a", "b", "c"])
    diagram.root = diagram.node(0, diagram.node(1, 0, ONE), ONE)
    contracted, deleted = [7, 11, 13], [2, 3, 5]
    assert diagram.fold(1, 0, contracted, deleted) == 7 * 3 * 5 + 2 * 11 * 5
    assert diagram.count() == 2


def test_empty_diagram() -> None:
    diagram = Diagram(["a"])
    assert diagram.count() == 0
    assert diagram.fold(1, 0, [2], [3]) == 0
    diagram.root = -ONE
    assert diagram.fold(1, 0, [2], [3]) == -3


@pytest.mark.parametrize("seed", range(10))
def test_order_is_a_permutation(seed: int) -> None:
    source = Random(seed)
    pairs = [(source.randrange(6), source.randrange(6)) for _ in range(source.randint(0, 12))]
    others = [(source.randrange(6), source.randrange(6)) for _ in pairs]
    assert sorted(order_elements(pairs, others)) == list(range(len(pairs)))
