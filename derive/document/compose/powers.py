"""What each part takes up at the bias point, beside what it may.

Enters: a point, the circuit. Leaves: blocks. Must not know: LaTeX.
"""

from __future__ import annotations

from dataclasses import dataclass

from derive.bias.records import Point
from derive.circuit.records import Circuit
from derive.document.records import Block, Column, Heading, Notice, Paragraph, Table
from derive.words import Inline, Node, Reading, Strong, Words

RESISTOR_RATING = 0.5
DEVICE_RATING = 0.25
"""Watts taken where no rating is stated: common practice for small parts with leads, no source."""
RATINGS = {"resistor": RESISTOR_RATING, "bjt": DEVICE_RATING, "jfet": DEVICE_RATING, "mosfet": DEVICE_RATING,
           "diode": DEVICE_RATING}  # fmt: skip
WORTH = 0.1
"""Share of its rating from which a part is listed."""
MOST = 12


@dataclass(frozen=True)
class Load:
    """What a part takes up and may take up, in watts; ``stated``: whether its rating is the author's."""

    part: str
    power: float
    rating: float
    stated: bool

    @property
    def share(self) -> float:
        return self.power / self.rating


def loads(point: Point, circuit: Circuit) -> list[Load]:
    """Every part that has a rating, stated or by default, the one nearest to it first."""
    found = []
    for part in circuit.parts.values():
        stated = part.values.get("rating")
        rating = float(stated.value) if stated is not None else RATINGS.get(part.kind)
        if rating is not None and part.name in point.powers:
            found.append(Load(part.name, point.powers[part.name], rating, stated is not None))
    return sorted(found, key=lambda load: -load.share)


def cautions(point: Point, circuit: Circuit) -> list[Block]:
    """A caution for each part that takes up more than it may."""
    found: list[Block] = []
    for load in loads(point, circuit):
        if load.share > 1:
            words: list[Inline] = [Strong("Rating exceeded. "), Node(load.part), " takes up "]
            words += [
                Reading(load.power, "W", 3),
                " at the bias point, more than ",
                Reading(load.rating, "W", 6, "stated"),
            ]
            words.append(", its rating." if load.stated else ", the default where no rating is stated.")
            found.append(Notice("caution", tuple(words)))
    return found


def blocks(point: Point, circuit: Circuit) -> list[Block]:
    """The parts that take up a tenth of their rating and more, or in a sentence that none does."""
    every = loads(point, circuit)
    if not every:
        return []
    found: list[Block] = [Heading(2, ("Power",))]
    listed = [load for load in every if load.share >= WORTH]
    defaults: Words = (
        "Where no rating is stated, ", Reading(RESISTOR_RATING, "W", 6, "stated"), " is taken for a resistor and ",
        Reading(DEVICE_RATING, "W", 6, "stated"), " for a device, in still air (common practice, no source).",
    )  # fmt: skip
    if not listed:
        most = every[0]
        words: Words = ("No part takes up a tenth of its rating; ", Node(most.part), " comes nearest, with ",
                        Reading(most.power, "W", 3), " of ", *_rating(most), ". ")  # fmt: skip
        return [*found, Paragraph((*words, *defaults))]
    columns = (Column(("Part",)), Column(("Takes up",), "right"), Column(("Rating",), "right"),
               Column(("Of its rating",), "right"))  # fmt: skip
    rows = tuple(_row(load) for load in listed[:MOST])
    rest = f" {len(listed) - MOST} more stand in the record." if len(listed) > MOST else ""
    words = ("Parts that take up a tenth of their rating or more. ", *defaults, rest)
    return [*found, Paragraph(words), Table(columns, rows)]


def _rating(load: Load) -> Words:
    return (Reading(load.rating, "W", 6, "stated"), *(() if load.stated else (" (default)",)))


def _row(load: Load) -> tuple[Words, ...]:
    share = Reading(100 * load.share, "%", 2)
    told: Words = (Strong("exceeded: "), share) if load.share > 1 else (share,)
    return ((Node(load.part),), (Reading(load.power, "W", 3),), _rating(load), told)
