"""A description that is wrong gets one message: file, line, what is wrong, what would be right."""

from __future__ import annotations

import pytest

from derive.description.reader import read_text
from derive.errors import DescriptionError
from tests.description.samples import DIVIDER

# Lines of DIVIDER: 1 [parts], 2 Vs, 3 R1, 4 R2, 5 empty, 6 [[question]], 7 name, 8 gain.


def with_part(line: str) -> str:
    """The divider with another line under [parts]: line 5."""
    return DIVIDER.replace("\n\n", f"\n{line}\n\n")


def with_end(lines: str) -> str:
    """The divider with more lines after its question: from line 9."""
    return DIVIDER + lines


def with_statement(line: str) -> str:
    """The divider with a statement: its line is 10."""
    return with_end(f"[[assume]]\n{line}\n")


def with_question(line: str) -> str:
    """The divider with a second question B: its line is 11."""
    return with_end(f'[[question]]\nname = "B"\n{line}\n')


BJT = 'Q1 = {{ bjt = "npn", base = "in", collector = "out", emitter = "gnd", {} }}'
JFET = (
    'Q1 = {{ jfet = "{}-channel", gate = "in", drain = "out", source = "gnd", id = "1 mA", idss = "6 mA", vp = "{}" }}'
)

PARTS = {
    "unknown kind": ('R3 = { resistr = "1k", between = ["in", "out"] }', ["resistr", "resistor"]),
    "no kind": ('R3 = { between = ["in", "out"] }', ["kind of part", "resistor"]),
    "two kinds": (
        'R3 = { resistor = "1k", capacitor = "1n", between = ["in", "out"] }',
        ["resistor", "capacitor"],
    ),
    "unknown key": (
        'R3 = { resistor = "1k", between = ["in", "out"], tolerence = "1 %" }',
        ["tolerence", "tolerance"],
    ),
    "key of another kind": (
        'C3 = { capacitor = "1n", between = ["in", "out"], beta = 3 }',
        ["beta", "tolerance"],
    ),
    "wrong unit": (
        'R3 = { resistor = "10 nF", between = ["in", "out"] }',
        ["R3", "farads", "ohms", "4.7 kΩ"],
    ),
    "true for a number": (
        'R3 = { resistor = true, between = ["in", "out"] }',
        ["true is not a number", "ohms"],
    ),
    "not a number": ('R3 = { resistor = nan, between = ["in", "out"] }', ["not a finite number"]),
    "infinite": ('R3 = { resistor = inf, between = ["in", "out"] }', ["not a finite number"]),
    "zero": ('R3 = { resistor = 0, between = ["in", "out"] }', ["not greater than zero"]),
    "negative": ('R3 = { resistor = "-1 k", between = ["in", "out"] }', ["not greater than zero"]),
    "senseless size": ('R3 = { resistor = 1e400000000, between = ["in", "out"] }', ["sensible size"]),
    "no quotes": ('R3 = { resistor = 4.7k, between = ["in", "out"] }', ["not in quotes", "4.7 kΩ"]),
    "no comma": ('R3 = { resistor = "1k" between = ["in", "out"] }', ["comma"]),
    "tolerance over one": (
        'R3 = { resistor = "1k", between = ["in", "out"], tolerance = 5 }',
        ["100 %", "1 %"],
    ),
    "one node": ('R3 = { resistor = "1k", between = ["in"] }', ["two nodes", '["a", "b"]']),
    "no nodes": ('R3 = { resistor = "1k" }', ["does not say what it joins", "between"]),
    "number for a node": ('R3 = { resistor = "1k", between = [1, "in"] }', ["1 is not a node", "quotes"]),
    "name of ground": ('R3 = { resistor = "1k", between = ["in", "GND"] }', ["GND", "gnd"]),
    "strange node": ('R3 = { resistor = "1k", between = ["in", "o ut"] }', ["o ut", "letters"]),
    "not a table": ('R3 = "1k"', ["does not say what the part is", "resistor"]),
    "name with a small letter": ('r3 = { resistor = "1k", between = ["in", "out"] }', ["r3", "R3"]),
    "strange name": ('"R 3" = { resistor = "1k", between = ["in", "out"] }', ["R 3", "Rload"]),
    "long name": ("R" * 25 + ' = { resistor = "1k", between = ["in", "out"] }', ["too long", "24"]),
    "doubled name": ('R1 = { resistor = "1k", between = ["in", "out"] }', ["R1", "twice"]),
    "doubled key": (
        'R3 = { resistor = "1k", resistor = "2k", between = ["in", "out"] }',
        ["resistor", "twice"],
    ),
    "joined to itself": ('R3 = { resistor = "1k", between = ["in", "in"] }', ["joins node in to itself"]),
    "a node touched once": (
        'R3 = { resistor = "1k", between = ["in", "outt"] }',
        ["only R3", "outt", "did you mean out"],
    ),
    "pin of no part": ('R3 = { resistor = "1k", between = ["in", "Q7.base"] }', ["no part Q7"]),
    "unknown pin": (
        'R3 = { resistor = "1k", between = ["in", "R1.base"] }',
        ["R1 has no pin base", "first, second"],
    ),
    "pin that names itself": (
        'R3 = { resistor = "1k", between = ["R3.first", "in"] }',
        ["R3.first names itself"],
    ),
    "mosfet": ('M1 = { mosfet = "n-channel", gate = "in" }', ["mosfet is not built yet"]),
    "finite op amp": (
        'U1 = { opamp = "ideal", plus = "in", minus = "out", out = "out", gbw = "1 MHz" }',
        ["not built yet", "ideal"],
    ),
    "vary": ('R3 = { resistor = "1k", between = ["in", "out"], vary = true }', ["vary is not built yet"]),
    "unsolved bias": (BJT.format('is = "1 fA", beta = 100'), ["not solved yet", "state ic, or gm and rpi"]),
    "nothing stated": (BJT.format("rb = 10"), ["not solved yet", "ic and beta", "gm and rpi"]),
    "half stated": (BJT.format('ic = "1 mA"'), ["ic without beta", "add beta"]),
    "two ways at once": (
        BJT.format('ic = "1 mA", beta = 100, gm = "40 mS"'),
        ["gm does not go together with ic"],
    ),
    "unknown pin key": (
        BJT.format("ic = 1e-3, beta = 100").replace("emitter", "emiter"),
        ["emiter", "emitter"],
    ),
    "missing pin": (
        'Q1 = { bjt = "npn", base = "in", emitter = "gnd", ic = "1 mA", beta = 100 }',
        ["Q1", "collector", "write collector"],
    ),
    "unknown variety": (BJT.format("ic = 1e-3, beta = 100").replace("npn", "nnp"), ["nnp", '"npn" or "pnp"']),
    "unit of a ratio": (BJT.format('ic = "1 mA", beta = "100 V"'), ["volts", "pure number"]),
    "vp of an n-channel type": (JFET.format("n", "2 V"), ["negative", 'vp = "-2 V"']),
    "vp of a p-channel type": (JFET.format("p", "-2 V"), ["positive", 'vp = "2 V"']),
    "missing pin of an op amp": ('U1 = { opamp = "ideal", plus = "in", out = "out" }', ["U1", "minus"]),
    "output on ground": (
        'U1 = { opamp = "ideal", plus = "in", minus = "out", out = "gnd" }',
        ["output of U1"],
    ),
    "inputs joined": ('U1 = { opamp = "ideal", plus = "in", minus = "in", out = "out" }', ["senses node in"]),
    "loop of ideal sources": (
        'V2 = { supply = "1 V", between = ["in", "gnd"] }',
        ["Vs and V2 form a loop", "resistance"],
    ),
    "loop of op amps": (
        'U1 = { opamp = "ideal", plus = "in", minus = "out", out = "in" }',
        ["Vs and U1 form a loop"],
    ),
    "supply on the signal": ('V2 = { supply = "1 V", at = "in" }', ["form a loop"]),
    "at and between": (
        'V2 = { supply = "1 V", at = "out", between = ["out", "gnd"] }',
        ["both at and between"],
    ),
}


@pytest.mark.parametrize("case", PARTS)
def test_parts(case: str) -> None:
    line, fragments = PARTS[case]
    check(with_part(line), 5, fragments)


STATEMENTS = {
    "unknown symbol": ('that = "R1 >> R3"', ["A1", "no symbol R3", "R1"]),
    "a signal": ('that = "Vs >> R1"', ["Vs is a signal"]),
    "units differ": ('that = "R1 >> 1"', ["R1 is in ohms", "1 is a pure number"]),
    "a difference": ('that = "R1 - R2 >> R1"', ["difference"]),
    "syntax": ('that = "R1 > R2"', ["column 4", ">>"]),
    "two relations": ('that = "R1 >> R2 >> R1"', ["two sides"]),
    "a limit of two": ('that = "R1*R2 -> 0"', ["one symbol"]),
    "a strange limit": ('that = "R1 -> 5"', ["0 or to inf"]),
    "an equation": ('that = "R1 = R2"', ["equation"]),
    "frequency": ('that = "1/(2*pi*f) >> R1"', ["pi"]),
    "function": ('that = "sqrt(R1) >> R2"', ["sqrt"]),
    "no symbol": ('that = "2 >> 1"', ["no symbol"]),
    "no text": ("that = 5", ["5 is not a text"]),
    "escape": ('that = "\\mu >> 1"', ["backslash", "single quotes around LaTeX"]),
    "control character": ('that = "\\frac >> 1"', ["control character", "single quotes around LaTeX"]),
    "short of no part": ('short = ["R7"]', ["no part R7"]),
    "short of a source": ('short = ["Vs"]', ["Vs is a signal", "a resistor"]),
    "twice the same": ('short = ["R1", "R1"]', ["R1 is named twice"]),
    "empty list": ("open = []", ["empty"]),
    "bootstrap of a source": ('ideal_bootstrap = "Vs"', ["Vs is a signal"]),
}


@pytest.mark.parametrize("case", STATEMENTS)
def test_statements(case: str) -> None:
    line, fragments = STATEMENTS[case]
    check(with_statement(line), 10, fragments)


QUESTIONS = {
    "unknown node": ('impedance = { at = "oot" }', 11, ["no node oot", "out"]),
    "unknown kind": ('impedence = { at = "out" }', 11, ["impedence", "impedance"]),
    "two kinds": (
        'gain = { from = "in", to = "out" }\nimpedance = { at = "out" }',
        12,
        ["both gain and impedance"],
    ),
    "no kind": ("", 9, ["none of gain"]),
    "no to": ('gain = { from = "in" }', 11, ["to is missing"]),
    "not a table": ('gain = "in"', 11, ["not a table", "from"]),
    "two ports": ('impedance = { at = "out", between = ["in", "out"] }', 11, ["port is given twice"]),
    "no port": ("impedance = { }", 11, ["port is missing"]),
    "no width": ('impedance = { between = ["in", "in"] }', 11, ["both ends"]),
    "lifting no part": ('impedance = { at = "out", without = ["R7"] }', 11, ["no part R7"]),
    "gain of a part": ('gain = { from = "Vs", to = "out" }', 11, ["Vs is a part", "its node, in"]),
    "gain from ground": ('gain = { from = "gnd", to = "out" }', 11, ["ground is zero"]),
    "driven by no signal": (
        'gain = { from = "in", to = "out", driven_by = "R1" }',
        11,
        ["not a signal", "Vs"],
    ),
    "return ratio of a resistor": ('return_ratio = { of = "R1" }', 11, ["not a controlled source"]),
    "bootstrap elsewhere": ('bootstrap = { part = "R1", near = "gnd" }', 11, ["does not touch", "in or out"]),
    "bootstrap of a signal": ('bootstrap = { part = "Vs", near = "in" }', 11, ["Vs is a signal"]),
    "not built yet": ("noise = true", 11, ["noise is not built yet"]),
}


@pytest.mark.parametrize("case", QUESTIONS)
def test_questions(case: str) -> None:
    line, number, fragments = QUESTIONS[case]
    check(with_question(line), number, fragments)


WHOLE = {
    "empty": ("", None, ["no parts", "[parts]"]),
    "no parts": ('[[question]]\nname = "A"\n', None, ["no parts"]),
    "no question": (DIVIDER[: DIVIDER.index("[[")], None, ["no question", "[[question]]"]),
    "no ground": (DIVIDER.replace("gnd", "low"), 1, ["ground", "gnd"]),
    "part after a question": (
        with_end('R3 = { resistor = "1k", between = ["in", "out"] }\n'),
        9,
        ["R3", "move it under [parts]"],
    ),
    "part before [parts]": ('R3 = { resistor = "1k" }\n' + DIVIDER, 1, ["R3", "move it under [parts]"]),
    "part as a table": (with_end('[Q7]\nbjt = "npn"\n'), 9, ["Q7", "move it under [parts]"]),
    "single brackets": (DIVIDER.replace("[[question]]", "[question]"), 6, ["[[question]]"]),
    "unknown table": (with_end("[abut]\n"), 9, ["abut", "about"]),
    "later table": (with_end('[[bench]]\nof = "A"\n'), 9, ["not built yet"]),
    "doubled question": (
        with_end('[[question]]\nname = "A"\nimpedance = { at = "out" }\n'),
        10,
        ["another question"],
    ),
    "question named like a part": (DIVIDER.replace('"A"', '"R1"'), 7, ["already that of a part"]),
    "question with a reserved name": (DIVIDER.replace('"A"', '"s"'), 7, ["meaning of its own"]),
    "question without a name": (DIVIDER.replace('name = "A"\n', ""), 6, ["name is missing"]),
    "for no question": (with_end('[[assume]]\nthat = "R1 >> R2"\nfor = ["B"]\n'), 11, ["no question B"]),
    "two kinds of statement": (
        with_end('[[assume]]\nshort = ["R1"]\nopen = ["R2"]\n'),
        11,
        ["both short and open"],
    ),
    "one label twice": (
        with_end('[[assume]]\nshort = ["R1"]\nname = "x"\n[[assume]]\nopen = ["R2"]\nname = "x"\n'),
        14,
        ["another statement"],
    ),
    "band descends": (with_end('[about]\nband = ["20 kHz", "20 Hz"]\n'), 10, ["ascend"]),
    "band from zero": (with_end('[about]\nband = ["0 Hz", "20 Hz"]\n'), 10, ["greater than zero"]),
    "spot below zero": (with_end('[about]\nspot = "-1 Hz"\n'), 10, ["less than zero"]),
    "temperature without unit": (with_end("[about]\ntemperature = 25\n"), 10, ["25 °C"]),
    "temperature range": (
        with_end('[about]\ntemperature = ["0 °C", "70 °C"]\n'),
        10,
        ["range", "not built yet"],
    ),
    "open text": (with_end('[about]\ntitle = "x\n'), 10, ["not closed on its line"]),
    "text without quotes": (with_end("[about]\ntitle = Buffer\n"), 10, ["not in quotes"]),
    "unknown key in about": (with_end('[about]\ntitel = "x"\n'), 10, ["titel", "title"]),
    "bell": (with_end('[about]\ntitle = "a\\u0007"\n'), 10, ["U+0007"]),
    "right-to-left mark": (with_end('[about]\ntitle = "a\u202eb"\n'), 10, ["U+202E"]),
    "deep nesting": (with_end("x = " + "[" * 5000), None, ["nested too deep"]),
    "very long number": (with_end("x = " + "9" * 5000), None, ["cannot be read"]),
    "many dots": (with_end("a." * 300 + "b = 1"), 9, ["nested too deep"]),
}


@pytest.mark.parametrize("case", WHOLE)
def test_whole_descriptions(case: str) -> None:
    check(*WHOLE[case])


def check(text: str, line: int | None, fragments: list[str]) -> None:
    """The text is refused with the line and all fragments, in one message of one line."""
    with pytest.raises(DescriptionError) as caught:
        read_text(text, "divider.toml")
    error = caught.value
    assert error.exit_status == 2
    assert error.line == line, str(error)
    assert str(error).startswith("divider.toml" if line is None else f"divider.toml, line {line}: ")
    for fragment in fragments:
        assert fragment in f"{error.what}; {error.remedy}", str(error)
    assert error.remedy or "not built yet" in error.what or "not solved yet" in error.what or "nested" in error.what
    assert str(error).isprintable()
    assert len(str(error)) < 400


def test_the_divider_itself_is_right() -> None:
    assert read_text(DIVIDER, "divider.toml").questions[0].name == "A"
