"""Times of the kernel and of a worksheet: ``python -m tests.benchmark``.

Kernel times stand beside a calibration loop of the same run, so that machines can be compared. Networks are made
here: ladders, and cascades of common-emitter stages with all symbols distinct and feedback over the whole.
"""

from __future__ import annotations

import time
from collections.abc import Callable
from pathlib import Path

from derive.kernel.build import _determinant, determinant
from derive.network.records import Edge, Element

WORKED = Path(__file__).parents[2] / "worked"


def resistor(name: str, first: str, second: str) -> Element:
    return Element(name, name, "conductance", (first, second), (first, second))


def ladder(sections: int) -> list[Element]:
    elements, node = [resistor("Gin", "n0", "gnd")], "n0"
    for i in range(1, sections + 1):
        elements += [resistor(f"Ga{i}", node, f"n{i}"), resistor(f"Gb{i}", f"n{i}", "gnd")]
        node = f"n{i}"
    return elements


def cascade(stages: int) -> list[Element]:
    elements, base = [resistor("Gs", "in", "gnd")], "in"
    for i in range(stages):
        collector, emitter, inner = f"c{i}", f"e{i}", f"b{i}"
        pairs: dict[str, Edge] = {
            "rb": (base, inner), "rpi": (inner, emitter), "Cpi": (inner, emitter), "Cmu": (inner, collector),
            "ro": (collector, emitter), "Rc": (collector, "gnd"), "Re": (emitter, "gnd"),
        }  # fmt: skip
        elements += [resistor(f"{name}{i}", *pair) for name, pair in pairs.items()]
        elements.append(Element(f"gm{i}", f"gm{i}", "conductance", (collector, emitter), (inner, emitter)))
        base = collector
    return [*elements, resistor("Gf", "in", base)]


def seconds(work: Callable[[], object], repeats: int = 3) -> float:
    """The least of some runs."""
    best = float("inf")
    for _ in range(repeats):
        start = time.perf_counter()
        work()
        best = min(best, time.perf_counter() - start)
    return best


def calibration() -> int:
    """A fixed amount of plain Python: a million dictionary updates."""
    table: dict[int, int] = {}
    for i in range(1_000_000):
        table[i % 1009] = table.get(i % 1009, 0) + i
    return len(table)


def kernel() -> None:
    unit = seconds(calibration)
    print(f"calibration loop {unit:.3f} s; kernel times in seconds and as a ratio to it")
    print(f"{'network':<14}{'elements':>9}{'terms':>12}{'nodes':>8}{'seconds':>10}{'ratio':>8}")
    cases = [(f"ladder {n}", ladder(n)) for n in (8, 12, 16, 40)] + [
        (f"{n} stages", cascade(n)) for n in (1, 2, 4, 8, 24)
    ]
    for name, elements in cases:

        def build(elements: list[Element] = elements) -> object:
            _determinant.cache_clear()
            return determinant(elements, [], "gnd")

        took = seconds(build)
        diagram = determinant(elements, [], "gnd")
        terms = diagram.count()
        written = f"{terms:,}" if terms < 10**7 else f"{float(terms):.2e}"
        print(f"{name:<14}{len(elements):>9}{written:>12}{diagram.size:>8}{took:>10.4f}{took / unit:>8.3f}")


def worksheet() -> None:
    from derive import make, read

    path = WORKED / "harbour_hydrophone.toml"
    make(read(path), pdf=False, opinion=False)
    print(f"\n{path.stem}, description to files, warm imports:")
    print(f"  with PDF and second opinion  {seconds(lambda: make(read(path)), 2):6.2f} s")
    print(f"  without                      {seconds(lambda: make(read(path), pdf=False, opinion=False), 2):6.2f} s")


if __name__ == "__main__":
    kernel()
    worksheet()
