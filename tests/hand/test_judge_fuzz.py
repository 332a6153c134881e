"""No text of the grammar, however odd, gives an exception but ours, or takes long."""

from __future__ import annotations

import time
from random import Random

from derive.check import Checker, told
from derive.description.reader import read_text
from derive.errors import Defect, DeriveError
from tests.hand.test_chain import DESCRIPTION

TEXTS = 300
LONGEST_SECONDS = 10.0
ATOMS = (
    "Rc", "Re", "RL", "gm_Q1", "rpi_Q1", "beta_Q1", "s", "w", "f", "pi", "0", "1", "-1", "2", "1e30", "1e-30",
    "(Rc/Re)", "sqrt(Rc/Re)", "log10(Rc/Re)", "abs(Re)", "(Rc || Re)",
)  # fmt: skip


def formula(source: Random, depth: int) -> str:
    if not depth:
        return source.choice(ATOMS)
    one, other = formula(source, depth - 1), formula(source, depth - 1)
    ways = (
        f"({one} + {other})", f"({one} - {other})", f"{one}*{other}", f"({one})/({other})", f"sqrt(({one})**2)",
        f"({one})**{source.randrange(-3, 4)}", f"log10({one}/{other})",
    )  # fmt: skip
    return source.choice(ways)


def test_odd_formulas_are_judged_or_refused_in_words() -> None:
    checker, source = Checker(read_text(DESCRIPTION, "stage.toml")), Random("odd")
    judged = 0
    for _ in range(TEXTS):
        text, name = formula(source, source.randrange(4)), source.choice(("A", "Zin"))
        begun = time.process_time()
        try:
            told(checker.check(name, text))
            judged += 1
        except Defect:
            raise
        except DeriveError:
            continue
        assert time.process_time() - begun < LONGEST_SECONDS, text
    assert judged > TEXTS / 4
