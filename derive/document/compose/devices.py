"""The devices at the bias point: tables of their voltages, currents and slopes, and what is said of those not active.

Enters: a point, the circuit, its network. Leaves: blocks. Must not know: LaTeX.

Small-signal values are those of the network, so that a symbol has one number on a sheet.
"""

from __future__ import annotations

from collections.abc import Sequence

from derive.bias.records import DevicePoint, Point
from derive.circuit.parts import is_stated
from derive.circuit.records import Circuit
from derive.document.compose.phrases import NOTHING, joined
from derive.document.compose.regions import REGIONS, forward_gate, remark
from derive.document.records import Block, Column, Notice, Paragraph, Table
from derive.expression.tree import Sym
from derive.network.records import Network
from derive.words import Formula, Node, Reading, Strong, Words

KINDS = (("bjt",), ("jfet", "mosfet"), ("diode",))
"""Devices that share a table."""
MARK = "*"
CURRENTS = {"bjt": (("Ic", "collector"), ("Ib", "base")), "jfet": (("Id", "drain"),), "mosfet": (("Id", "drain"),),
            "diode": (("Id", "anode"),)}  # fmt: skip
VOLTAGES = {"bjt": (("Vbe", "Vbe"), ("Vce", "Vce")), "jfet": (("Vgs", "Vgs"), ("Vds", "Vds")),
            "mosfet": (("Vgs", "Vgs"), ("Vds", "Vds")), "diode": (("Vd", "V"),)}  # fmt: skip
SLOPES = {"bjt": ("gm", "rpi", "ro"), "jfet": ("gm", "ro"), "mosfet": ("gm", "ro"), "diode": ("rd",)}


def blocks(point: Point, circuit: Circuit, network: Network) -> list[Block]:
    """Tables and remarks; nothing without devices."""
    if not point.devices:
        return []
    stated = [name for name in point.devices if is_stated(circuit.parts[name])]
    tables: list[Block] = []
    for kinds in KINDS:
        rows = [found for found in point.devices.values() if found.kind in kinds]
        if rows:
            # Where all are stated there is nothing to tell apart.
            tables.append(_table(rows, stated if len(stated) < len(point.devices) else (), network))
    remarks = [remark(found, circuit.parts[found.part]) for found in point.devices.values()]
    return [Paragraph(_explained(point, stated)), *tables, *(Paragraph(words) for words in remarks if words)]


def _explained(point: Point, stated: Sequence[str]) -> Words:
    words = "Currents stand without sign, voltages with theirs: those of p-type devices are negative. "
    if not stated:
        return (f"{words}Every current is computed; none is stated by the author.",)
    all_of_them = len(stated) == len(point.devices)
    who = "of all these devices" if all_of_them else "of a device with this mark"
    mark = "" if all_of_them else f"{MARK} "
    return (
        f"{words}{mark}The current or the slopes {who} are stated by the author: the row has the currents and voltages "
        "that the circuit's laws give, and the small-signal values that follow from what is stated.",
    )


def _table(rows: Sequence[DevicePoint], marked: Sequence[str], network: Network) -> Table:
    kind = rows[0].kind
    right = [*(head for head, _ in (*CURRENTS[kind], *VOLTAGES[kind])), *SLOPES[kind]]
    heads = [Column((Formula(Sym(head)),), "right") for head in right]
    columns = (Column(("Part",)), Column(("State",)), *heads, Column(("Power",), "right"))
    return Table(columns, tuple(_row(found, found.part in marked, network) for found in rows))


def _row(found: DevicePoint, marked: bool, network: Network) -> tuple[Words, ...]:
    kind = found.kind
    return (
        (Node(found.part), MARK if marked else ""),
        (REGIONS[found.region],),
        *((Reading(abs(found.currents[pin]), "A"),) for _, pin in CURRENTS[kind]),
        *((Reading(found.voltages[key], "V"),) for _, key in VOLTAGES[kind]),
        *(_slope(f"{key}_{found.part}", network) for key in SLOPES[kind]),
        (Reading(found.power, "W", 3),),
    )


def _slope(name: str, network: Network) -> Words:
    symbol = network.symbols.get(name)
    return NOTHING if symbol is None else (Reading(float(symbol.value), symbol.unit),)


def notices(point: Point, circuit: Circuit) -> list[Block]:
    """Transistors that are not active: those whose current is stated are warned of, the others told."""
    blocks: list[Block] = []
    for found in point.devices.values():
        part = circuit.parts.get(found.part)
        volts = None if part is None else forward_gate(found, part)
        if volts is not None:
            blocks.append(
                Notice(
                    "warning",
                    (
                        "The gate junction of ",
                        Node(found.part),
                        " is driven forward by ",
                        Reading(abs(volts), "V", 3),
                        ", where its law does not hold.",
                    ),
                )
            )
    odd = [found for found in point.devices.values() if found.kind != "diode" and found.region != "active"]
    for stated in (True, False):
        told = [found for found in odd if is_stated(circuit.parts[found.part]) == stated]
        if not told:
            continue
        words = joined([(Node(found.part), f" is {REGIONS[found.region]}") for found in told])
        tail = (
            ", and yet the sheet has the small-signal values of an active device at the stated current."
            if stated
            else ": small-signal values are the true slopes there."
        )
        said: Words = (Strong("By the circuit's laws "), *words, tail)
        blocks.append(Notice("warning" if stated else "note", said))
    return blocks
