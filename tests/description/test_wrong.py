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
    "zero": ('R3 = { resistor = 0, between = ["in", "out"] }', ["not greater than zero", "one node name"]),
    "zero current": (BJT.format("ic = 0, beta = 100"), ["not greater than zero", "write its value"]),
    "tolerance in words": (
        'R3 = { resistor = "1k", between = ["in", "out"], tolerance = "lots" }',
        ['"lots" is not a number', '"1 %"'],
    ),
    "negative": ('R3 = { resistor = "-1 k", between = ["in", "out"] }', ["not greater than zero"]),
    "senseless size": ('R3 = { resistor = 1e400000000, between = ["in", "out"] }', ["sensible size"]),
    "no quotes": ('R3 = { resistor = 4.7k, between = ["in", "out"] }', ["not in quotes", "4.7 kΩ"]),
    "no comma": ('R3 = { resistor = "1k" between = ["in", "out"] }', ["comma"]),
    "tolerance over one": (
        'R3 = { resistor = "1k", between = ["in", "out"], tolerance = 5 }',
        ["100 %", "1 %"],
    ),
    "one node": ('R3 = { resistor = "1k", between = ["in"] }', ["1 node is given, and two nodes", '["a", "b"]']),
    "no nodes": ('R3 = { resistor = "1k" }', ["does not say what it joins", "between"]),
    "number for a node": ('R3 = { resistor = "1k", between = [1, "in"] }', ["1 is not a node", "quotes"]),
    "name of ground": ('R3 = { resistor = "1k", between = ["in", "GND"] }', ["GND", "gnd"]),
    "strange node": ('R3 = { resistor = "1k", between = ["in", "o ut"] }', ["o ut", "letters"]),
    "not a table": ('R3 = "1k"', ["does not say what the part is", "resistor"]),
    "name with a small letter": ('r3 = { resistor = "1k", between = ["in", "out"] }', ["r3", "R3"]),
    "strange name": ('"R 3" = { resistor = "1k", between = ["in", "out"] }', ["R 3", "then at most one capital: R3"]),
    "name with a small letter behind": ("R1b = {}", ["R1b", "digits, then at most one capital: R1B"]),
    "name with a small letter at both ends": ("r1b = {}", ["r1b", "R1B"]),
    "name with two letters behind": ("R1AB = {}", ["R1AB", "Q2A"]),
    "name with a mark": ("R_load = {}", ["R_load", "Rload"]),
    "Greek name": ("Rκ = {}", ["Rκ holds κ (Greek small letter kappa)", "plain letters"]),
    "Greek name in quotes": ('"Rκ" = {}', ['"Rκ" holds κ (Greek small letter kappa)', "plain letters"]),
    "Greek key": ("R3 = { κ = 1 }", ["the name κ holds κ", "plain letters"]),
    "Greek key further on": ("R3 = { aκb.c = 1 }", ["the name aκb holds κ", "plain letters"]),
    "Greek table": ("[pκ]", ["the name pκ holds κ", "plain letters"]),
    "foreign node": ('R3 = { resistor = "1k", between = ["in", "öut"] }', ["öut", "ö (Latin small letter o"]),
    "no-break space": ("R3\u00a0= {}", ["U+00A0 (no-break space)", "plain space"]),
    "curly quotes": ('R3 = { resistor = “1k”, between = ["in", "out"] }', ["“ is a curly", "straight quotes"]),
    "curly name": ("“R3” = {}", ["“ is a curly", "straight quotes"]),
    "curly in a list": ('R3 = { between = ["in", ”out”] }', ["” is a curly", "straight quotes"]),
    "single curly quotes": ('R3 = { resistor = ‘1k’, between = ["in", "out"] }', ["‘ is a curly", "straight"]),
    "half curly": ('R3 = { resistor = "1k”, between = ["in", "out"] }', ["” is a curly", "straight quotes"]),
    "half curly alone": ('R3 = "1k”', ["” is a curly", "straight quotes"]),
    "curly in a comment": ("R3 = 4k7 # was “old”", ["not in quotes"]),
    "quotes in a text": ('R3 = "a "b" c"', ["behind the end", "single quotes"]),
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
    "pin of a part in small letters": (
        'R3 = { resistor = "1k", between = ["in", "r1.First"] }',
        ["no part r1", "write R1.first"],
    ),
    "pin in capitals": ('R3 = { resistor = "1k", between = ["in", "R1.First"] }', ["no pin First", "R1.first"]),
    "pin that names itself": (
        'R3 = { resistor = "1k", between = ["R3.first", "in"] }',
        ["R3.first names itself"],
    ),
    "vary": ('R3 = { resistor = "1k", between = ["in", "out"], vary = true }', ["vary is not built yet"]),
    "nothing stated": (BJT.format("rb = 10"), ["states nothing of what it does", "beta (or hfe); or gm and rpi"]),
    "half stated": (BJT.format('ic = "1 mA"'), ["ic without beta", "add beta (or hfe)"]),
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
    "id above idss": (
        JFET.format("n", "-2 V").replace("1 mA", "15 mA"),
        ["Q1: id is above idss", "15 mA", "reverse-biased gate carries at most idss"],
    ),
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
    "a Greek letter": ('that = "Rκ >> R1"', ["column 2", "κ", "plain letters"]),
    "slashes": ('that = "R1//R2 >> R1"', ["//", "||"]),
    "units differ": ('that = "R1 >> 1"', ["R1 is in ohms", "1 is a pure number"]),
    "a difference": ('that = "R1 - R2 >> R1"', ["difference"]),
    "syntax": ('that = "R1 > R2"', ["column 4", ">>"]),
    "two relations": ('that = "R1 >> R2 >> R1"', ["two sides"]),
    "a limit of two": ('that = "R1*R2 -> 0"', ["one symbol"]),
    "a strange limit": ('that = "R1 -> 5"', ["0 or to inf"]),
    "a doubled sign": ('that = "R1 == R2"', ["column 5", "one =", "R1 = R2"]),
    "an equality with a difference": ('that = "R1 = R2 - R1"', ["difference", "by ="]),
    "an equality of units": ('that = "R1 = 5"', ["R1 is in ohms", "5 is a pure number"]),
    "an equality with a signal": ('that = "R1 = Vs"', ["Vs is a signal"]),
    "an equality of frequency": ('that = "w*R1 = w*R2"', ["w is not a symbol", "w << 1/(R1*C1)"]),
    "units of a frequency": ('that = "1/(2*pi*f) >> R1"', ["in seconds", "in ohms"]),
    "complex frequency": ('that = "s*R1 << R2"', ["s is not a symbol", "complex", "write w"]),
    "a limit of frequency": ('that = "w -> 0"', ["w is not a symbol", "w << 1/(R1*C1)"]),
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
    "bootstrap to ground": ('ideal_bootstrap = "R2"', ["R2", "gnd", "nothing moves there"]),
    "a part like a symbol": ('open = ["gm_Q1"]', ["no part gm_Q1"]),
}


@pytest.mark.parametrize("case", STATEMENTS)
def test_statements(case: str) -> None:
    line, fragments = STATEMENTS[case]
    check(with_statement(line), 10, fragments)


SYMBOLS = {
    "capacitance opened": ('open = ["Cpi_Q1"]', ["Cpi_Q1 is a symbol of Q1, not a part", 'that = "Cpi_Q1 -> 0"']),
    "capacitance shorted": ('short = "Cpi_Q1"', ["symbol of Q1", 'that = "Cpi_Q1 -> inf"']),
    "resistance opened": ('open = "rpi_Q1"', ["symbol of Q1", 'that = "rpi_Q1 -> inf"']),
    "resistance shorted": ('short = "rpi_Q1"', ["symbol of Q1", 'that = "rpi_Q1 -> 0"']),
    "transconductance opened": ('open = "gm_Q1"', ["symbol of Q1", 'that = "gm_Q1 -> 0"']),
    "ratio opened": ('open = "beta_Q1"', ["symbol of Q1", "under that"]),
    "not stated": ('open = "ro_Q1"', ["Q1 states no va or ro"]),
    "bootstrap of a symbol": ('ideal_bootstrap = "rpi_Q1"', ["symbol of Q1, not a part"]),
    "bootstrap to a rail": ('ideal_bootstrap = "R4"', ["R4", "held by the supply Vee", "nothing moves there"]),
}


@pytest.mark.parametrize("case", SYMBOLS)
def test_statements_with_a_device(case: str) -> None:
    line, fragments = SYMBOLS[case]
    device = BJT.format('ic = "1 mA", beta = 100, cpi = "3 pF"')
    rails = 'Vcc = { supply = "9 V", at = "vcc" }\nVee = { supply = "9 V", between = ["vcc", "top"] }'
    more = f'{device}\n{rails}\nR4 = {{ resistor = "1k", between = ["out", "top"] }}\n'
    check(with_statement(line).replace("\n\n", f"\n{more}\n"), 14, fragments)


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
    "gain of a node": ('gain = { from = "in", to = "Vs.first" }', 11, ["from node in to itself", "two different"]),
    "lifting a symbol": ('impedance = { at = "out", without = ["gm_Q1"] }', 11, ["no part gm_Q1"]),
    "pin in small letters": ('gain = { from = "in", to = "r1.second" }', 11, ["no part r1", "write R1.second"]),
    "gain from ground": ('gain = { from = "gnd", to = "out" }', 11, ["ground is zero"]),
    "driven by no signal": (
        'gain = { from = "in", to = "out", driven_by = "R1" }',
        11,
        ["not a signal", "Vs"],
    ),
    "return ratio of a resistor": ('return_ratio = { of = "R1" }', 11, ["not a controlled source"]),
    "bootstrap elsewhere": ('bootstrap = { part = "R1", near = "gnd" }', 11, ["does not touch", "in or out"]),
    "bootstrap of a signal": ('bootstrap = { part = "Vs", near = "in" }', 11, ["Vs is a signal"]),
    "not built yet": ("poles = true", 11, ["poles is not built yet"]),
}


@pytest.mark.parametrize("case", QUESTIONS)
def test_questions(case: str) -> None:
    line, number, fragments = QUESTIONS[case]
    check(with_question(line), number, fragments)


NAMES = {
    **{name: ["how assumptions are numbered", "Av"] for name in ("A1", "A12", "A007")},
    **{name: ["meaning of its own"] for name in ("s", "w", "f", "i", "v", "pi", "inf", "sqrt")},
    "R1": ["already that of a part"],
    "Link1": ["already that of a part"],
    "gm_Q1": ["already that of a symbol"],
    "Aβ": ["β (Greek small letter beta)"],
    "1A": ["no name for a question"],
}


@pytest.mark.parametrize("name", NAMES)
def test_names_of_questions(name: str) -> None:
    parts = BJT.format("ic = 1e-3, beta = 100") + '\nLink1 = { transconductance = 1, from = ["out", "gnd"], '
    text = with_part(parts + 'sense = ["in", "gnd"] }')
    check(text.replace('name = "A"', f'name = "{name}"'), 9, NAMES[name])


@pytest.mark.parametrize("name", ["A", "Av", "A1b", "A_1", "a1", "S", "in"])
def test_names_that_questions_may_have(name: str) -> None:
    assert read_text(DIVIDER.replace('name = "A"', f'name = "{name}"'), "d.toml").questions[0].name == name


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
    "later table": (with_end("[block]\n"), 9, ["not built yet"]),
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
    assert error.remedy or "not built yet" in error.what or "nested" in error.what
    assert str(error).isprintable()
    assert len(str(error)) < 400


def test_the_divider_itself_is_right() -> None:
    assert read_text(DIVIDER, "divider.toml").questions[0].name == "A"
