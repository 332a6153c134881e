"""A correct description becomes the records that all later stages read."""

from __future__ import annotations

import hashlib
import resource
import subprocess
import sys
from fractions import Fraction
from pathlib import Path

import pytest

from derive.circuit.records import Bootstrap, Circuit, Gain, Impedance, ReturnRatio
from derive.description.reader import read, read_text
from derive.errors import DescriptionError
from derive.expression.tree import Infinite, Sym
from tests.description.samples import BUFFER, DIVIDER


@pytest.fixture(scope="module")
def buffer() -> Circuit:
    return read_text(BUFFER, "buffer.toml")


def test_about(buffer: Circuit) -> None:
    about = buffer.about
    assert (about.title, about.revision, about.date) == (
        "Harbour hydrophone buffer (invented)",
        "3",
        "2025-03-01",
    )
    assert about.temperature == Fraction("303.15")
    assert about.band == (10, 50_000)
    assert about.spot == 2000


def test_about_has_defaults() -> None:
    about = read_text(DIVIDER, "some/where/divider.toml").about
    assert (about.title, about.language) == ("divider", "en")
    assert (about.temperature, about.band, about.spot) == (Fraction("298.15"), (20, 20_000), 1000)


def test_values_are_exact_and_keep_their_text(buffer: Circuit) -> None:
    parts = buffer.parts
    assert parts["Rg"].values["resistance"].value == 1_500_000
    assert parts["Cb"].values["capacitance"].value == Fraction(1, 100_000)
    assert parts["Cb"].values["capacitance"].text == "10 µF"
    assert parts["Rd"].values["resistance"].value == 680
    assert parts["Rs"].values["tolerance"].value == Fraction(1, 100)
    assert parts["Q1"].values["lambda"].unit == "1/V"
    assert parts["Q1"].values["vp"].value == -2
    assert parts["Link1"].values["transconductance"].value == Fraction(1, 500)
    assert parts["Vcc"].values["voltage"].value == 12
    assert parts["Vs"].values["offset"].unit == "V"


def test_pins_are_in_the_order_of_the_kind(buffer: Circuit) -> None:
    assert dict(buffer.parts["Q2"].pins) == {"base": "d", "collector": "out", "emitter": "vcc"}
    assert list(buffer.parts["Q1"].pins) == ["gate", "drain", "source"]
    assert dict(buffer.parts["Vcc"].pins) == {"first": "vcc", "second": "gnd"}
    assert list(buffer.parts["Link1"].pins) == ["first", "second", "sense_first", "sense_second"]


def test_pins_as_nodes(buffer: Circuit) -> None:
    assert buffer.parts["Cb"].pins["first"] == "out"
    assert buffer.parts["U1"].pins["minus"] == buffer.parts["U1"].pins["out"] == "U1.out"
    assert "Q2.collector" not in buffer.nodes
    assert len(set(buffer.nodes)) == len(buffer.nodes)


def test_kinds_varieties_and_the_mains(buffer: Circuit) -> None:
    assert (buffer.parts["Q1"].kind, buffer.parts["Q1"].variety) == ("jfet", "n-channel")
    assert (buffer.parts["D1"].kind, buffer.parts["D1"].variety) == ("diode", "silicon")
    assert [name for name, part in buffer.parts.items() if part.mains] == ["Re"]


def test_questions(buffer: Circuit) -> None:
    asks = {question.name: question.ask for question in buffer.questions}
    assert asks == {
        "A": Gain("src", "out", "Vs"),
        "Zin": Impedance("gate", "gnd", ("Rs",)),
        "Zd": Impedance("d", "vcc", ()),
        "T": ReturnRatio("gm_Q2"),
        "boot": Bootstrap("Rg", "gate", "boot", "Vs"),
    }


def test_statements(buffer: Circuit) -> None:
    assert [one.number for one in buffer.statements] == [1, 2, 3, 4, 5]
    assert [one.text for one in buffer.statements] == [
        "gm_Q2*Re >> 1",
        "ro_Q2 -> inf",
        "ideal bootstrap Rg",
        "short Cb, Cin",
        "open D1",
    ]
    first, second = buffer.statements[:2]
    assert (first.because, first.questions, first.name) == ("it drives the load", ("Zin",), "stiff")
    assert second.relation is not None
    assert (second.relation.left, second.relation.right) == (Sym("ro_Q2"), Infinite())
    assert buffer.statements[3].short == ("Cb", "Cin")
    assert buffer.statements[4].open == ("D1",)
    keys = ("that", "that", "ideal_bootstrap", "short", "open")
    assert [one.path for one in buffer.statements] == [("assume", index, key) for index, key in enumerate(keys)]


def test_a_table_a_part_is_the_same_as_a_line() -> None:
    table = '[parts.R2]\nresistor = "2 kΩ"\nbetween = ["out", "gnd"]\n'
    line = 'R2 = { resistor = "2 kΩ", between = ["out", "gnd"] }\n'
    assert line in DIVIDER
    one, other = read_text(DIVIDER, "c"), read_text(DIVIDER.replace(line, table), "c")
    assert one.parts == other.parts


def test_a_file_and_its_sha256(tmp_path: Path) -> None:
    path = tmp_path / "divider.toml"
    raw = b"\xef\xbb\xbf" + DIVIDER.replace("\n", "\r\n").encode()
    path.write_bytes(raw)
    circuit = read(path)
    assert circuit.source.sha256 == hashlib.sha256(raw).hexdigest()
    assert circuit.source.name == str(path)
    assert circuit.source.line_of(("parts", "R2")) == 4


@pytest.mark.parametrize("name", ["missing.toml", ".", "no\0name", "x" * 5000])
def test_what_is_not_a_file(tmp_path: Path, name: str) -> None:
    with pytest.raises(DescriptionError) as caught:
        read(f"{tmp_path}/{name}")
    assert caught.value.line is None


def test_what_is_not_text_and_what_is_too_long(tmp_path: Path) -> None:
    path = tmp_path / "c.toml"
    path.write_bytes(b"[parts]\nR1 = \xff")
    with pytest.raises(DescriptionError, match=r"line 2: this is not text in UTF-8; save the file as UTF-8"):
        read(path)
    path.write_bytes(b"#" * 1_000_001)
    with pytest.raises(DescriptionError, match="larger than 1 MB"):
        read(path)


def test_reading_is_quick() -> None:
    """Sixteen parts in under half a second of computing, with all imports; twice that for a busy machine."""
    code = "import sys; from derive.description.reader import read_text; read_text(sys.stdin.read(), 'c')"
    best = 9.0
    for _ in range(3):
        before = resource.getrusage(resource.RUSAGE_CHILDREN).ru_utime
        subprocess.run([sys.executable, "-c", code], input=BUFFER.encode(), check=True)
        best = min(best, resource.getrusage(resource.RUSAGE_CHILDREN).ru_utime - before)
    assert best < 1.0
