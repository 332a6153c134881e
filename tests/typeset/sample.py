"""A sample worksheet: an invented rain-gauge preamplifier, a degenerate common-emitter stage.

The numbers are invented for the page; they are not results of the program.
"""

from __future__ import annotations

import math
from fractions import Fraction

from derive.document.records import (
    Code,
    Column,
    Curve,
    Document,
    Formula,
    Heading,
    Ledger,
    Line,
    Node,
    Notice,
    Paragraph,
    Plot,
    Reading,
    Row,
    Strong,
    Table,
    TitleBlock,
)
from derive.expression.tree import (
    Expr,
    Name,
    Num,
    Parallel,
    Power,
    Quotient,
    S,
    Sum,
    Sym,
    Volt,
    negate,
    product,
    total,
)

NASTY = r"Tom & Jerry_100% #$^~\input{/etc/passwd}"
ONE = Num(Fraction(1))
GM, RPI, RO, BETA = Sym("gm_Q1"), Sym("rpi_Q1"), Sym("ro_Q1"), Sym("beta_Q1")
RC, RE, RB1, RB2, RS, RL, CIN, CE = (Sym(name) for name in ("Rc", "Re", "Rb1", "Rb2", "Rs", "Rload", "Cin", "Ce"))
SYMBOLS = ["gm_Q1", "rpi_Q1", "ro_Q1", "beta_Q1", "Rc", "Re", "Rb1", "Rb2", "Rs", "Rload", "Cin", "Ce"]
DEVICES = ["Q1"]


def wide_sum(count: int = 9) -> Expr:
    """A sum of products that no column holds."""
    parts = (RC, RE, RB1, RB2, RS, RL, RPI, RO)
    return Sum(tuple(product(GM, parts[k % 8], parts[(k + 3) % 8], parts[(2 * k + 1) % 8]) for k in range(count)))


def gain_ledger() -> Ledger:
    load = Parallel((RC, RL))
    return Ledger(
        (
            Row(
                ("Kirchhoff’s current law at ", Node("out"), ", all signal currents that leave the node"),
                (
                    Line(
                        total(
                            Quotient(Volt("out"), RC),
                            Quotient(Volt("out"), RL),
                            product(GM, Sum((Volt("Q1.base"), negate(Volt("Q1.emitter"))))),
                        ),
                        "=",
                        Num(Fraction(0)),
                    ),
                ),
                (),
                kind="law",
            ),
            Row(
                ("The same at ", Node("Q1.emitter")),
                (
                    Line(
                        product(Sum((Volt("Q1.base"), negate(Volt("Q1.emitter")))), Sum((GM, Quotient(ONE, RPI)))),
                        "=",
                        Quotient(Volt("Q1.emitter"), RE),
                    ),
                ),
                (),
                kind="law",
            ),
            Row(
                ("Solved for the ratio of the two voltages",),
                (
                    Line(
                        Name("A"),
                        "=",
                        negate(Quotient(product(BETA, Parallel((RC, RL))), Sum((RPI, product(Sum((BETA, ONE)), RE))))),
                    ),
                    Line(
                        None, "=", negate(Quotient(product(GM, load), Sum((ONE, product(GM, RE), Quotient(RE, RPI)))))
                    ),
                ),
                (Reading(-4.213 + 0.0j, "V/V", 4, "magnitude"),),
            ),
            Row(
                ("A1: ", Formula(product(GM, RE)), " ≫ 1, since the emitter resistor sets the gain"),
                (Line(Name("A"), "≈", negate(Quotient(load, RE))),),
                (Reading(-4.545 + 0j, "V/V", 4, "magnitude"),),
                note=("ratio ", Reading(18.4, "1", 3), "; costs ", Reading(7.88, "%", 3), " alone"),
                kind="approximate",
            ),
            Row(
                (
                    "The supply is a rail: its signal voltage is zero, and ",
                    Formula(RC),
                    " ends there as at ground.",
                ),
                (),
                (),
                kind="remark",
            ),
        )
    )


def impedance_ledger() -> Ledger:
    reciprocal = Sum((Quotient(ONE, RB1), Quotient(ONE, RB2)))
    numerator = total(wide_sum(7), product(S, CIN, wide_sum(9)), product(Power(S, 2), CIN, CE, wide_sum(5)))
    denominator = total(RC, product(S, CE, Sum((RE, RS))), product(Power(S, 2), CIN, CE, wide_sum(4)))
    return Ledger(
        (
            Row(
                ("Looking into the base, ", Formula(RE), " lifted to the base side"),
                (Line(Name("Zb"), "=", Sum((RPI, product(Sum((BETA, ONE)), RE)))),),
                (Reading(88.7e3, "Ω"),),
            ),
            Row(
                ("In parallel with the divider",),
                (
                    Line(Name("Zin"), "=", Parallel((RB1, RB2, Name("Zb")))),
                    Line(
                        None,
                        "=",
                        Quotient(ONE, total(reciprocal, Quotient(ONE, Sum((RPI, product(Sum((BETA, ONE)), RE)))))),
                    ),
                ),
                (Reading(7.321e3 - 1.6e3j, "Ω", 4, "magnitude"),),
            ),
            Row(
                ("With both capacitors, nothing neglected",),
                (Line(Name("Zin"), "=", Quotient(numerator, denominator)),),
                (Reading(7.319e3 - 1.6e3j, "Ω", 4, "magnitude"),),
                note=("21 terms over ", Code("7"), ", printed by names"),
            ),
            Row(
                ("A2: ", Formula(BETA), " ≫ 1 and A3: ", Formula(RB1), " ≪ ", Formula(RB2)),
                (Line(Name("Zin"), "≈", Parallel((RB1, product(BETA, RE)))),),
                (Reading(7.6e3, "Ω"),),
                note=("together ", Reading(3.81, "%", 3), " at ", Reading(1000, "Hz", 3)),
                kind="approximate",
            ),
            Row(
                ("The time constant of the input",),
                (Line(Name("tau_1"), ":=", product(CIN, total(RS, Parallel((RB1, RB2))))),),
                (Reading(4.7e-3, "s"),),
            ),
        )
    )


def plot() -> Plot:
    exact, approximate, places = [], [], []
    for k in range(241):
        f = 10 ** (0.3 + 5.7 * k / 240)
        s = 2j * math.pi * f
        high = s / (s + 2 * math.pi * 12)
        exact.append(-4.213 * high / (1 + s / (2 * math.pi * 1.4e5)) / (1 + s / (2 * math.pi * 9e5)))
        approximate.append(-4.3 * high)
        places.append(f)
    grid = tuple(places)
    return Plot(
        "gain",
        ("Gain from ", Node("src"), " to ", Node("out")),
        "V/V",
        (Curve("exact", grid, tuple(exact)), Curve("approximate", grid, tuple(approximate))),
        (20.0, 20e3),
        1e3,
        agree=(2.0, 31.4e3),
        tolerance=0.05,
        caption=("Invented samples: a 12 Hz corner, two poles. Grey lies outside the author’s band.",),
    )


def symbol_table() -> Table:
    rows = [
        ("gm_Q1", 38.9e-3, "S", "Ic/VT"),
        ("rpi_Q1", 5.14e3, "Ω", "beta/gm"),
        ("ro_Q1", 66e3, "Ω", "VA/Ic"),
        ("Rc", 4.7e3, "Ω", "stated"),
        ("Ce", 47e-6, "F", NASTY),
    ]
    return Table(
        (Column(("symbol",)), Column(("meaning",), width=0.35), Column(("value",), "right"), Column(("from",))),
        tuple(
            (
                (Formula(Sym(name)),),
                (f"what the symbol stands for, in words ({name})",),
                (Reading(value, unit),),
                (source,),
            )
            for name, value, unit, source in rows
        ),
        ("Symbols and their numbers at the bias point",),
    )


def long_table(count: int = 40) -> Table:
    return Table(
        (
            Column(("part",)),
            Column(("follows",), "right"),
            Column(("share of ", Formula(Quotient(ONE, Name("Zin")))), "right"),
            Column(("remark",), width=0.4),
        ),
        tuple(
            (
                (Formula(Sym(SYMBOLS[k % 12])),),
                (Reading(0.9 - 0.05j * k, "1", 3, "magnitude"),),
                (Reading(100 / (k + 1), "%", 3),),
                (f"row {k}: " + "its far end follows the near one " * (k % 3),),
            )
            for k in range(count)
        ),
        ("The budget of the port",),
    )


def document() -> Document:
    """The whole sample."""
    return Document(
        TitleBlock(
            "Rain gauge preamplifier (invented)",
            "A degenerate common-emitter stage with " + NASTY,
            "Quayside Instruments (invented)",
            "RG-0042",
            "B",
            "2026-01-31",
            NASTY,
            None,
            "en",
        ),
        (
            Notice(
                "caution",
                (
                    "Two nodes of this circuit can differ by more than 60 V: discharge stored charge, "
                    "isolate, and touch nothing that is not known to be dead. Local codes hold.",
                ),
            ),
            Heading(1, ("Answers",)),
            Paragraph(
                (
                    "The gain from ",
                    Node("src"),
                    " to ",
                    Node("out"),
                    " is ",
                    Formula(Name("A")),
                    " = ",
                    Reading(-4.213, "V/V"),
                    " at ",
                    Reading(1000, "Hz", 3),
                    "; approximately ",
                    Formula(negate(Quotient(Parallel((RC, RL)), RE))),
                    ". The input impedance ",
                    Formula(Name("Zin")),
                    " is ",
                    Reading(7.3e3 - 1.6e3j, "Ω", 4, "magnitude"),
                    ". The author wrote ",
                    Code(NASTY),
                    " and ",
                    Strong(NASTY),
                    ".",
                )
            ),
            symbol_table(),
            Heading(1, ("Gain from ", Node("src"), " to ", Node("out"), ", named ", Formula(Name("A")))),
            Paragraph(("Signals are small and all voltages are against ground. " * 3,)),
            gain_ledger(),
            plot(),
            Notice("warning", ("A1 is false here: the ratio is ", Reading(2.1, "1", 2), ".")),
            Heading(2, ("Input impedance & its parts",)),
            impedance_ledger(),
            Notice(
                "note",
                (
                    NASTY,
                    " Ω µ − ≥ ∞ 中文 \x07 R5 << R6 -- ,, '' ``",
                ),
            ),
            long_table(),
        ),
        (
            ("derive", "0.1.0"),
            ("sha256 of the description", "9f86d081884c7d659a2feaa0c55ad015a3bf4f1b2b0b822cd15d6c15b0f00a08"),
        ),
    )
