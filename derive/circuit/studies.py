"""Questions of noise and of distortion, with nodes resolved and the signal found.

Enters: the description's questions and the circuit's parts. Leaves: Study records, or a DescriptionError.
Must not know: how an answer is found.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import TYPE_CHECKING, Literal

from derive.circuit.asker import Asker, find_excitation
from derive.circuit.graphs import supplied_nodes
from derive.circuit.records import GROUND, Distortion, Noise, Part, Study
from derive.description.hints import a

if TYPE_CHECKING:
    from derive.description.outline import Description
    from derive.description.schema import DistortionTable, NoiseTable


def build_studies(description: Description, parts: Mapping[str, Part]) -> tuple[Study, ...]:
    """All studies, in the order of the description. Raises DescriptionError."""
    nodes = tuple(dict.fromkeys(node for part in parts.values() for node in part.pins.values()))
    found = []
    for index, table in enumerate(description.questions):
        asker = Asker(description, parts, nodes, table.name, ("question", index))
        if table.noise is not None:
            found.append(Study(table.name, _noise(asker, table.noise), asker.path))
        elif table.distortion is not None:
            found.append(Study(table.name, _distortion(asker, table.distortion), asker.path))
    return tuple(found)


def _noise(asker: Asker, table: NoiseTable) -> Noise:
    at = _live(asker, "noise", "at", table.at)
    driven_by = None
    if table.referred_to is not None:
        node = asker.node(table.referred_to, ("noise", "referred_to"))
        driving = [signal for signal in asker.signals() if node in signal.pins.values() and node != GROUND]
        if not driving:
            what = f"no signal drives node {node}, and noise is referred to where a signal enters"
            raise asker.error(("noise", "referred_to"), what, "name the node of a signal, or leave referred_to out")
        driven_by = find_excitation(asker, "noise", table.driven_by, driving, node).name
    elif table.driven_by is not None:
        driven_by = find_excitation(asker, "noise", table.driven_by, asker.signals(), at).name
    return Noise(at, driven_by, _source(asker, table.source, driven_by))


def _source(asker: Asker, name: str | None, driven_by: str | None) -> str | None:
    """The resistance of the signal's source: a resistor between the signal and the circuit, in series."""
    if name is None:
        return None
    key = ("noise", "source")
    part = asker.part(name, key)
    if part.kind != "resistor":
        raise asker.error(key, f"{name} is {a(part.kind)}", "name the resistor that is the resistance of the source")
    if driven_by is None:
        what = f"the noise figure compares with the noise of {name} at the input, and no input is named"
        raise asker.error(key, what, "add referred_to with the node that the signal drives")
    signal = asker.parts[driven_by]
    if not set(part.pins.values()) & set(signal.pins.values()) - {GROUND}:
        raise asker.error(key, f"{name} does not touch {signal.name}", "name the resistor next to the signal")
    return name


def _distortion(asker: Asker, table: DistortionTable) -> Distortion:
    to = _live(asker, "distortion", "to", table.to)
    signal = find_excitation(asker, "distortion", table.driven_by, asker.signals(), to)
    of: Literal["signal", "output"] = "output" if table.of == "output" else "signal"
    unit = "A" if of == "signal" and signal.variety == "current" else "V"
    swing = table.amplitude
    if swing.unit != unit:
        what = f"the amplitude is that of {'a current' if unit == 'A' else 'a voltage'}, and {swing.text} is not"
        raise asker.error(("distortion", "amplitude"), what, f'write it as in "10 m{unit} peak"')
    frequency = asker.description.about.spot if table.frequency is None else table.frequency
    if not frequency:
        what = "a sine of 0 Hz has no harmonics"
        raise asker.error(("distortion",), what, 'write frequency = "1 kHz", or a spot above zero')
    return Distortion(to, signal.name, swing.peak, swing.counted, of, frequency)


def _live(asker: Asker, table: str, key: str, text: str) -> str:
    """A node that can carry a signal."""
    node = asker.node(text, (table, key))
    supply = supplied_nodes(asker.parts.values()).get(node)
    if node == GROUND or supply:
        what = "ground has no voltage" if node == GROUND else f"node {node} is held by the supply {supply}"
        raise asker.error((table, key), what, "name a node whose voltage can move")
    return node
