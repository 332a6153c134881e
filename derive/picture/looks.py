"""How drawings in SVG look: one style sheet, for a light and a dark ground.

Enters: the inks of marks. Leaves: CSS. Must not know: drawings.

A page that has grounds of its own sets the variables (``--ink-voltage``, ``--loop-0`` …, ``--ground``) itself.
"""

from __future__ import annotations

from derive.drawing.inks import ARROW, BADGE, LOOPS, PALE, VOLTAGE
from derive.picture.paper import UNIT, number

SERIF = '"Latin Modern Roman","STIX Two Text","Cambria","Georgia",serif'
SANS = '"Latin Modern Sans","Helvetica","Arial",sans-serif'


def variables(dark_ground: bool) -> str:
    """The colours of marks as CSS variables."""
    inks = {"voltage": VOLTAGE, "arrow": ARROW, "badge": BADGE, "pale": PALE}
    pairs = [(f"--ink-{name}", ink) for name, ink in inks.items()]
    pairs += [(f"--loop-{number_}", ink) for number_, ink in enumerate(LOOPS)]
    colours = "".join(f"{name}:#{ink.light if dark_ground else ink.dark};" for name, ink in pairs)
    return colours + (
        "--ground:#14171a;--tint:#2a2f33;--line:#e8e8e8" if dark_ground else "--ground:#fff;--tint:#f0f0f0;--line:#111"
    )


def rules() -> str:
    """All rules but the colours; every selector begins with the drawing's class."""
    lines = [
        ".schematic{max-width:100%;height:auto;color:var(--line)}",
        f".schematic .wire,.schematic .symbol{{fill:none;stroke:currentColor;stroke-width:{number(0.075 * UNIT)};"
        "stroke-linecap:round;stroke-linejoin:round}",
        f".schematic .strong{{stroke-width:{number(0.13 * UNIT)}}}",
        ".schematic .fill,.schematic .dot{fill:currentColor;stroke:none}",
        f".schematic text{{font-family:{SERIF};font-size:{number(0.85 * UNIT)}px;fill:currentColor}}",
        f".schematic .node{{font-family:{SANS}}}",
        f".schematic .removed{{color:var(--ink-pale);stroke:var(--ink-pale);stroke-dasharray:{_dashes(PALE.dashes)}}}",
        ".schematic .removed-words{fill:var(--ink-pale)}",
        f".schematic .note{{font-size:{number(0.74 * UNIT)}px}}",
        ".schematic .voltage-note-words{fill:var(--ink-voltage)}",
        ".schematic .arrow-note-words{fill:var(--ink-arrow)}",
        f".schematic .response{{stroke:var(--ink-arrow);fill:var(--ink-arrow);stroke-width:{number(0.14 * UNIT)}}}",
        ".schematic .response polygon{stroke:none}",
        ".schematic .badge-note{fill:var(--tint);stroke:var(--ink-badge);stroke-width:1}",
        ".schematic .badge-note-words{fill:var(--ink-badge)}",
        ".schematic .tie{stroke:currentColor;stroke-opacity:.6;stroke-width:.9;stroke-dasharray:1 2.5;fill:none}",
        f".schematic .loop{{fill:none;stroke-width:{number(0.26 * UNIT)};stroke-opacity:.55}}",
        # Over a picture, of which no more is known, words have a rim of the ground, and colours are those for paper.
        f".schematic.over-picture{{{variables(False)}}}",
        ".schematic.over-picture .note{stroke:#fff;stroke-width:3px;paint-order:stroke;stroke-linejoin:round}",
        ".schematic .loop-note{fill:var(--ground);stroke-width:1.5}",
    ]
    for place, ink in enumerate(LOOPS):
        dashes = f";stroke-dasharray:{_dashes(ink.dashes)}" if ink.dashes else ""
        lines += [
            f".schematic .loop-{place}{{stroke:var(--loop-{place}){dashes}}}",
            f".schematic .loop-{place}-head,.schematic .loop-note-{place}-words{{fill:var(--loop-{place})}}",
            f".schematic .loop-note-{place}{{stroke:var(--loop-{place})}}",
        ]
    return "".join(lines)


def style() -> str:
    """The whole sheet of a drawing that stands alone."""
    dark = f"@media (prefers-color-scheme:dark){{.schematic{{{variables(True)}}}}}"
    return f".schematic{{{variables(False)}}}{dark}{rules()}"


def _dashes(lengths: tuple[float, ...]) -> str:
    return " ".join(number(UNIT * length) for length in lengths)
