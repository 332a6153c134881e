"""Current sources, mirrors and cascodes as the textbooks give them.

Gray: P. R. Gray, P. J. Hurst, S. H. Lewis, R. G. Meyer, "Analysis and Design of Analog Integrated Circuits",
5th edition. Razavi: B. Razavi, "Design of Analog CMOS Integrated Circuits", 1st edition. All from memory.
"""

from __future__ import annotations

from random import Random

import pytest

from tests.asking import Asked, random_point
from tests.networks import circuit
from tests.reference.book import Published, check

LOOK = 'impedance = { at = "out" }'


def bjt(name: str, base: str, collector: str, emitter: str) -> str:
    return (
        f'{name} = {{ bjt = "npn", base = "{base}", collector = "{collector}", emitter = "{emitter}", '
        'gm = "40 mS", rpi = "5 kΩ", ro = "100 kΩ" }\n'
    )


def jfet(name: str, gate: str, drain: str, source: str) -> str:
    return (
        f'{name} = {{ jfet = "n-channel", gate = "{gate}", drain = "{drain}", source = "{source}", '
        'gm = "4 mS", ro = "50 kΩ" }\n'
    )


MIRROR = (
    bjt("Q1", "in", "in", "e1") + bjt("Q2", "in", "out", "e2")
    + 'R1 = { resistor = "1 kΩ", between = ["e1", "gnd"] }\nR2 = { resistor = "1 kΩ", between = ["e2", "gnd"] }\n'
)  # fmt: skip
BASE_SIDE = "(R1 + ((1/gm_Q1) || rpi_Q1 || ro_Q1))"
WILSON = bjt("Q1", "m", "in", "gnd") + bjt("Q2", "m", "m", "gnd") + bjt("Q3", "in", "out", "m")

SOURCES = [
    Published(
        "cascode of field-effect transistors: output resistance", "Razavi, section 3.5: (1 + gm2 ro2) ro1 + ro2",
        jfet("Q1", "gnd", "m", "gnd") + jfet("Q2", "gnd", "out", "m"), LOOK,
        "(1 + gm_Q2*ro_Q2)*ro_Q1 + ro_Q2",
        ("gm_Q2*ro_Q2 >> 1", "gm_Q2*ro_Q1 >> 1"), "gm_Q2*ro_Q2*ro_Q1",
    ),
    Published(
        "cascode of bipolar transistors: output resistance", "Gray, section 4.2.4: beta ro",
        bjt("Q1", "gnd", "m", "gnd") + bjt("Q2", "gnd", "out", "m"), LOOK,
        "ro_Q2 + (1 + gm_Q2*ro_Q2)*(ro_Q1 || rpi_Q2)",
        ("gm_Q2*ro_Q2 >> 1", "beta_Q2 >> 1", "ro_Q1 >> rpi_Q2"), "beta_Q2*ro_Q2",
    ),
    Published(
        "mirror with emitter degeneration: output resistance", "Gray, section 4.2.4: ro (1 + gm R2)",
        MIRROR, LOOK,
        f"ro_Q2 + (R2 || (rpi_Q2 + {BASE_SIDE}))*(1 + gm_Q2*ro_Q2*rpi_Q2/(rpi_Q2 + {BASE_SIDE}))",
        ("beta_Q1 >> 1", "gm_Q1*ro_Q1 >> 1", "gm_Q1*R1 >> 1", "rpi_Q2 >> R1", "rpi_Q2 >> R2", "gm_Q2*ro_Q2 >> 1",
         "beta_Q2 >> 1"),
        "ro_Q2*(1 + gm_Q2*R2)",
    ),
    Published(
        "diode-connected transistor", "Gray, section 4.2: 1/gm || rpi || ro",
        bjt("Q1", "out", "out", "gnd"), LOOK, "(1/gm_Q1) || rpi_Q1 || ro_Q1",
        ("beta_Q1 >> 1", "gm_Q1*ro_Q1 >> 1"), "1/gm_Q1",
    ),
]  # fmt: skip


@pytest.mark.parametrize("published", SOURCES, ids=str)
def test_current_source(published: Published) -> None:
    check(published)


def test_wilson_mirror(source: Random) -> None:
    """Output resistance beta ro/2 for matched transistors (Gray, section 4.2.6). It takes gm ro >> beta as well, here
    ro_Q1 >> rpi_Q3: the output of the lower transistor stands beside the input of the upper one.
    """
    assume = (
        "beta_Q1 >> 1", "beta_Q2 >> 1", "beta_Q3 >> 1", "gm_Q1*beta_Q3 >> gm_Q2",
        "gm_Q1*ro_Q1 >> 1", "gm_Q2*ro_Q2 >> 1", "gm_Q2*ro_Q3 >> 1", "ro_Q1 >> rpi_Q3",
    )  # fmt: skip
    asked = Asked(circuit(WILSON, f"Z: {LOOK}", assume=assume))
    reduced = asked.reduced("Z").ratio
    assert reduced is not None
    assert reduced == asked.formula("beta_Q3*ro_Q3*gm_Q1/(gm_Q1 + gm_Q2)")
    point = random_point(asked.ground.ring.names, source)
    point["gm_Q1"] = point["gm_Q2"]
    assert reduced.value(point) == point["beta_Q3"] * point["ro_Q3"] / 2
    assert asked.reduced("Z", asked.statements[:-1]).ratio != reduced, "without gm ro >> beta it is not beta ro/2"
    worst = asked.ground.error(asked.reduced("Z"), asked.exact("Z")).worst
    assert 0.01 < worst < 0.1, "with beta = 200 and gm ro = 4000 the handbook's formula is good to some percent"
