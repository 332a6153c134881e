"""Whatever the text, reading gives a Circuit or our own error, and quickly."""

from __future__ import annotations

from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from derive.circuit.records import Circuit
from derive.description.reader import read_text
from derive.errors import DescriptionError
from tests.description.samples import BUFFER, DIVIDER

PIECES = [
    *"[]{}=,.'\"\\\n#-",
    "[[",
    "true",
    "nan",
    "1e999",
    "0x1F",
    "1979-05-27",
    "gnd",
    "parts",
    "Q1",
    "Q2.base",
    "R1.first",
    "\x00",
    '"\\u0000"',
    "'''",
    '"""',
    "é",
    "\u202e",
    "between",
    "resistor",
    '"1k"',
    "[[question]]",
    "[[assume]]",
    "[parts]",
    "-> inf",
    ">>",
    "9" * 30,
    "{}",
    "[]",
    '""',
]

KEYS = """
resistor capacitor bjt jfet opamp supply signal diode transconductance mosfet between at from to
sense base gate collector emitter drain source plus minus out ic beta gm rpi ro va vp id idss lambda
offset tolerance mains name gain impedance return_ratio bootstrap part near of without driven_by
that short open ideal_bootstrap for because
hfe is vbe vf n k yfs vth ciss crss cob ft gain gbw rating together near temperature
"""

values = st.recursive(
    st.one_of(
        st.sampled_from(
            ['"1k"', '"in"', '"gnd"', '"out"', '"Q1.base"', '"npn"', '"n-channel"', '"ideal"', '"R1"', '"A"']
        ),
        st.sampled_from(
            [
                '"voltage"',
                '"R1 >> R2"',
                "1",
                "-1",
                "0.5",
                "true",
                "nan",
                "1e500",
                '"x"',
                "1979-05-27",
                "''",
                '"0.65 V at 2 mA"',
                '"50 %"',
            ]
        ),
    ),
    lambda inner: st.lists(inner, max_size=3).map(lambda parts: f"[{', '.join(parts)}]"),
    max_leaves=4,
)
keys = st.sampled_from(KEYS.split())
tables = st.dictionaries(keys, values, max_size=5).map(
    lambda table: ", ".join(f"{key} = {value}" for key, value in table.items())
)
lines = st.one_of(
    st.sampled_from(["[parts]", "[[question]]", "[[assume]]", "[about]", "[bias]", "[parts.Q1]"]),
    st.builds(
        "{} = {{ {} }}".format,
        st.sampled_from(["R1", "Q1", "U1", "Vs", "gain", "impedance", "near", "tolerance", "x"]),
        tables,
    ),
    st.builds("{} = {}".format, keys, values),
)


def check(text: str) -> None:
    try:
        circuit = read_text(text, "fuzz.toml")
    except DescriptionError as error:
        fault, number = str(error), error.line
    else:
        assert isinstance(circuit, Circuit)
        return
    assert fault.startswith("fuzz.toml")
    assert fault.isprintable(), fault
    assert number is None or 1 <= number <= text.count("\n") + 1


@st.composite
def damaged(draw: st.DrawFn) -> str:
    """A right description with a few pieces cut out or put in."""
    text = draw(st.sampled_from([DIVIDER, BUFFER]))
    for _ in range(draw(st.integers(1, 4))):
        start = draw(st.integers(0, len(text)))
        end = min(len(text), start + draw(st.sampled_from([0, 0, 1, 2, 5, 20])))
        text = text[:start] + draw(st.sampled_from(["", *PIECES])) + text[end:]
    return text


@given(damaged())
@settings(max_examples=300, deadline=2000, suppress_health_check=[HealthCheck.too_slow])
def test_damaged_descriptions(text: str) -> None:
    check(text)


@given(st.lists(lines, max_size=8))
@settings(max_examples=300, deadline=2000)
def test_random_tables(rows: list[str]) -> None:
    check("\n".join(rows))
    check(DIVIDER + "\n".join(rows))
    check(DIVIDER.replace("\n\n", "\n" + "\n".join(rows) + "\n\n"))


@given(st.one_of(st.text(max_size=80), st.lists(st.sampled_from(PIECES), max_size=30).map("".join)))
@settings(max_examples=300, deadline=2000)
def test_any_text(text: str) -> None:
    check(text)
