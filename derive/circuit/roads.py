"""Which controlled source and which part a question's second road is built around.

Enters: names as an author wrote them. Leaves: the names, checked, or a DescriptionError.
Must not know: how an answer is found.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from derive.circuit.parts import BOOTSTRAPPED
from derive.circuit.symbols import controlled_sources, symbols_of_all
from derive.description.hints import a, quote, suggest

if TYPE_CHECKING:
    from derive.circuit.asker import Asker
    from derive.description.schema import QuestionTable

_TWO_ENDED = ("Ω", "F")


def named_source(asker: Asker, of: str, key: tuple[str | int, ...]) -> bool:
    """Checks that a name is that of a controlled source; whether it is an op amp, which is a part and no symbol."""
    sources = controlled_sources(asker.parts.values())
    if of in sources:
        part = asker.parts.get(of)
        return part is not None and part.kind == "opamp"
    part = asker.parts.get(of)
    if part is not None and part.kind == "opamp":
        what = f"{part.name} is an ideal op amp, whose loop has no finite return ratio"
        raise asker.error(key, what, f"give {part.name} a gain or a gbw, or name another source, such as gm_Q1")
    if f"gm_{of}" in sources:
        what = f"{of} is a part, and a return ratio belongs to a controlled source"
        raise asker.error(key, what, f"write gm_{of}")
    raise asker.error(key, f"{quote(of)} is not a controlled source", suggest(of, sources, "controlled source"))


def read_loop(asker: Asker, table: QuestionTable) -> str | None:
    """The source around which the feedback formulas are written, where the author names one."""
    if table.loop is None:
        return None
    if table.gain is None and table.impedance is None:
        what = "loop belongs to a gain or an impedance"
        raise asker.error(("loop",), what, 'leave it out, or ask gain = { … } and write loop = "gm_Q1" beside it')
    named_source(asker, table.loop, ("loop",))
    return table.loop


def read_extra(asker: Asker, table: QuestionTable) -> str | None:
    """The part that is taken out of the answer, where the author names one: a part, or a device's symbol."""
    name = table.extra
    if name is None:
        return None
    if table.gain is None and table.impedance is None:
        what = "extra belongs to a gain or an impedance"
        raise asker.error(("extra",), what, 'leave it out, or ask gain = { … } and write extra = "C1" beside it')
    symbols = symbols_of_all(asker.parts.values())
    if name in symbols and name not in asker.parts:
        if symbols[name] in _TWO_ENDED:
            return name
        what = f"{name} is no impedance between two nodes"
        raise asker.error(("extra",), what, "name a resistance or a capacitance")
    part = asker.part(name, ("extra",))
    if part.kind not in BOOTSTRAPPED:
        what = f"{part.name} is {a(part.kind)}"
        raise asker.error(("extra",), what, "the extra element is a resistor, a capacitor or an inductor, or a symbol "
                          "of a device, such as Cgd_Q1")  # fmt: skip
    return name
