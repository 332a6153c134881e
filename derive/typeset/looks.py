"""What the source of a page needs before it can draw circuits: packages, lengths of symbols, inks of marks.

Enters: the templates. Leaves: lines for the preamble. Must not know: drawings.
"""

from __future__ import annotations

import jinja2

from derive.drawing.inks import ARROW, BADGE, LOOPS, PALE, VOLTAGE
from derive.typeset.drawn import UNIT
from derive.typeset.escape import Latex


def drawing_preamble(environment: jinja2.Environment) -> Latex:
    """The preamble's part for drawings."""
    inks = [("voltage ink", VOLTAGE), ("arrow ink", ARROW), ("badge ink", BADGE), ("pale", PALE)]
    inks += [(f"loop ink {number}", ink) for number, ink in enumerate(LOOPS)]
    return Latex(
        environment.get_template("drawing.tex").render(
            inks=[(Latex(name), Latex(ink.dark.upper())) for name, ink in inks],
            pale_dashes=Latex(_dashes(PALE.dashes)),
            loops=[
                (number, Latex(f", dash pattern={_dashes(ink.dashes)}" if ink.dashes else ""))
                for number, ink in enumerate(LOOPS)
            ],
        )
    )


def _dashes(lengths: tuple[float, ...]) -> str:
    """Dashes in grid units as TikZ writes them."""
    words = ("on", "off")
    return " ".join(f"{words[n % 2]} {UNIT * length:.2f}mm" for n, length in enumerate(lengths))
