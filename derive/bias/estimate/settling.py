"""How the devices are to be taken: from the first guess through verdicts to a way that agrees with itself.

Enters: rounds, a first guess. Leaves: a ``Settled``. Must not know: rules.

A verdict rests on numbers, and these on how the other devices were taken then. So in the end each verdict is looked
at once more, the others as they are now: it goes where its cause went, and what it says is said with its new number.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Literal, TypeAlias

from derive.bias.estimate.reach import missing
from derive.bias.estimate.records import Assumed, Stop, Turn, Verdict
from derive.bias.estimate.rounds import Round, Rounds
from derive.bias.records import EstimateStep
from derive.words import Node, Words

Key: TypeAlias = tuple[str, Literal["mode", "counts"]]
"""A device, and whether its mode was learnt or that its base current counts."""
MOST_PUT_OFF = 4
Learnt: TypeAlias = dict[Key, EstimateStep | None]


@dataclass(frozen=True)
class Settled:
    """``learnt``: the verdicts that stand, in the order in which they came, each with its step if it is told."""

    assumed: Assumed
    round: Round
    learnt: Learnt


def settle(rounds: Rounds, start: Assumed) -> Settled:
    """Round after round, each with what the last one taught. Where that goes in a circle, the verdict with which the
    circle began is put off, for a few times; then it is stopped."""
    trail, taken = [start], list[Verdict]()
    put_off: dict[Assumed, frozenset[Turn]] = {}
    circle: Stop | None = None
    most = 10 + 4 * len(rounds.circuit.parts)
    while True:
        barred = put_off.get(trail[-1], frozenset())
        round_ = rounds.run(trail[-1], barred=barred)
        if round_.verdict is None:
            stop = circle if barred else round_.stop
            return Settled(trail[-1], replace(round_, stop=stop), _learnt(trail, taken))
        after = trail[-1].after(round_.verdict)
        if after not in trail and len(trail) <= most:
            trail.append(after)
            taken.append(round_.verdict)
            continue
        circle = circle or _circle(trail, after, round_.verdict)
        if after not in trail or len(put_off) >= MOST_PUT_OFF or round_.verdict.turn in barred:
            return Settled(trail[-1], replace(round_, stop=circle), _learnt(trail, taken))
        begin = trail.index(after)
        began = [*taken, round_.verdict][begin]
        put_off[after] = put_off.get(after, frozenset()) | {began.turn}
        trail, taken = trail[: begin + 1], taken[:begin]


def _circle(trail: list[Assumed], after: Assumed, verdict: Verdict) -> Stop:
    """The devices that were taken now so, now so, from the time when the circle began."""
    turns = [*trail[trail.index(after) if after in trail else 0 :], after]
    names = {name: None for one in turns for name in (*sorted(one.counted), *(part for part, _ in one.modes))}
    restless = [name for name in names if len({(one.mode(name), name in one.counted) for one in turns}) > 1]
    parts = list(dict.fromkeys([*restless, verdict.part]))
    are = "however it is" if len(parts) == 1 else "however they are"
    return Stop(f"{', '.join(parts)}: {are} taken, the numbers contradict it", parts)


def _learnt(trail: list[Assumed], taken: list[Verdict]) -> Learnt:
    """The verdicts that were not undone by later ones."""
    learnt = Learnt()
    for assumed, verdict in zip(trail, taken, strict=False):
        changes = verdict.mode != assumed.mode(verdict.part)
        if changes:
            learnt.pop((verdict.part, "mode"), None)
        if changes and verdict.mode is not None:
            learnt[verdict.part, "mode"] = verdict.step
        if verdict.counts and verdict.part not in assumed.counted:
            learnt[verdict.part, "counts"] = None if changes else verdict.step
    return learnt


def revisit(rounds: Rounds, settled: Settled) -> Settled:
    """Each verdict once more, the last one apart, which was made with all others as they are."""
    fresh = list(settled.learnt)[-1:]
    while True:
        kept = Learnt()
        for key, step in settled.learnt.items():
            if key in fresh:
                kept[key] = step
                continue
            if (smaller := _without(rounds, settled, key)) is not None:
                settled, fresh = smaller, []
                break
            kept[key] = _said_again(rounds, settled, key, step)
        else:
            return replace(settled, learnt=kept)


def _without(rounds: Rounds, settled: Settled, key: Key) -> Settled | None:
    """The same without one verdict, where nothing contradicts that; kept where only with it all is found."""
    if _renewed(rounds, settled, key) is not None:
        return None
    other = _forgotten(settled.assumed, key)
    whole = rounds.run(other)
    loses = bool(missing(whole.board)) and not missing(settled.round.board)
    if whole.verdict is not None or whole.stop is not None or loses:
        return None
    return Settled(other, whole, {one: step for one, step in settled.learnt.items() if one != key})


def _renewed(rounds: Rounds, settled: Settled, key: Key) -> Verdict | None:
    """The verdict that comes again when its device is taken as it was then and all others as they are now."""
    then = settled.assumed if key[1] == "mode" else settled.assumed.altered(key[0], None)
    other = _forgotten(then, key)
    verdict = rounds.run(other, about=key[0]).verdict
    if key[1] == "mode" and verdict is not None and verdict.counts and verdict.part == key[0]:
        verdict = rounds.run(other.after(verdict), about=key[0]).verdict
    same = verdict is not None and other.after(verdict).modes == then.modes
    return verdict if same and (key[1] == "mode" or verdict is None or verdict.counts) else None


def _forgotten(assumed: Assumed, key: Key) -> Assumed:
    if key[1] == "mode":
        return assumed.altered(key[0], None)
    return replace(assumed, counted=assumed.counted - {key[0]})


def _said_again(rounds: Rounds, settled: Settled, key: Key, step: EstimateStep | None) -> EstimateStep | None:
    """The step with the number that holds now; without one where the contradiction does not come again alone."""
    again = _renewed(rounds, settled, key)
    if step is None or again is not None:
        return None if again is None else again.step
    tail = "; nothing below contradicts it"
    rule: Words = ("base current of ", Node(key[0]), " counts", tail)
    if key[1] == "mode":
        rule = (Node(key[0]), f" is taken as {settled.assumed.mode(key[0])}", tail)
    return EstimateStep(rule, (), (), step.note)
