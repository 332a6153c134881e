"""The order in which a signal travels with the loop opened, and the product of its hops."""

from __future__ import annotations

from math import prod

from derive.explain.words import travel_sentences
from derive.spoken import spoken
from tests.explain.explaining import STAGE, explained
from tests.explain.test_devices import BJT, FET, resistor

FOLLOWER = STAGE + (
    resistor("Rs", "10k", "gate", "in") + resistor("Rg", "1M", "gate")
    + f'Q1 = {{ jfet = "n-channel", gate = "gate", drain = "d", source = "out", {FET} }}\n'
    + f'Q2 = {{ bjt = "pnp", base = "d", collector = "out", emitter = "gnd", {BJT} }}\n'
    + resistor("Rd", "1k", "d") + resistor("Rk", "1k", "out")
)  # fmt: skip


def test_a_feedback_pair() -> None:
    """FET and bipolar around one loop: gate, then drain, then output, which is the FET's source."""
    _, found = explained(FOLLOWER)
    way = found.travel
    assert way is not None
    assert way.chief in ("gm_Q1", "gm_Q2")
    words = " ".join(spoken(s) for s in travel_sentences(found))
    assert "in moves gate" in words
    assert "d moves out by gm_Q2" in words


def test_hops_multiply_up_to_the_whole_way() -> None:
    _, found = explained(FOLLOWER)
    way, loop = found.travel, found.loop
    assert way is not None
    assert loop is not None
    end = way.forward[-1].to
    whole = loop.forward.node(end, loop.dead) / loop.forward.node("in", loop.dead)
    assert abs(prod(hop.ratio for hop in way.forward) / whole - 1) < 1e-12
    starts = [hop.start for hop in (*way.forward, *way.out)]
    assert len(starts) == len(set(starts))


def test_a_chain_without_a_loop_has_no_travel() -> None:
    parts = STAGE + f'Q1 = {{ bjt = "npn", base = "in", collector = "out", emitter = "gnd", {BJT} }}\n'
    _, found = explained(parts + resistor("Rc", "1k", "out"))
    assert found.travel is None
    assert travel_sentences(found) == []
