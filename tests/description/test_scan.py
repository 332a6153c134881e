"""[scan]: a picture beside the description, checked by what it holds; one message for each that cannot be meant."""

from __future__ import annotations

import io
from pathlib import Path

import pytest
from PIL import Image, ImageDraw

from derive.circuit.hints import Scan
from derive.description.reader import read, read_text
from derive.errors import DescriptionError

CIRCUIT = """
[parts]
Vs = { signal = "voltage", between = ["in", "gnd"] }
R1 = { resistor = "1 kΩ", between = ["in", "out"] }
R2 = { resistor = "1 kΩ", between = ["out", "gnd"] }
[[question]]
name = "A"
gain = { from = "in", to = "out" }
[scan]
"""
PLACES = "nodes = { out = [0.5, 0.25] }\nparts = { R1 = [0.2, 0.25] }"


def picture(form: str, size: tuple[int, int] = (240, 120)) -> bytes:
    """White, with a black bar across its upper quarter."""
    image = Image.new("RGB", size, "white")
    ImageDraw.Draw(image).rectangle((0, size[1] // 8, size[0], size[1] // 8 + 4), fill="black")
    stream = io.BytesIO()
    image.save(stream, form)
    return stream.getvalue()


def scan(folder: Path, text: str) -> Scan:
    (folder / "sheet.toml").write_text(CIRCUIT + text, encoding="utf-8")
    found = read(folder / "sheet.toml").scan
    assert found is not None
    return found


@pytest.mark.parametrize(("form", "name"), [("PNG", "sheet.png"), ("JPEG", "My sheet-2.JPG")])
def test_a_picture_is_read_with_its_places_and_its_ink(tmp_path: Path, form: str, name: str) -> None:
    (tmp_path / name).write_bytes(picture(form))
    found = scan(tmp_path, f'image = "{name}"\n{PLACES}')
    assert found.size == (240, 120)
    assert found.nodes == (("out", (0.5, 0.25)),)
    assert found.parts == (("R1", (0.2, 0.25)),)
    assert {(left, right) for left, _, right, _ in found.ink} == {(0.0, 1.0)}
    assert 0.08 < min(top for _, top, _, _ in found.ink) < max(bottom for *_, bottom in found.ink) < 0.2


def test_a_tall_picture_keeps_its_shape_and_a_dark_ground_is_no_ink(tmp_path: Path) -> None:
    image = Image.new("L", (50, 400), 20)
    image.putpixel((25, 200), 250)
    image.save(tmp_path / "sheet.png")
    (cell,) = scan(tmp_path, 'image = "sheet.png"').ink
    assert cell[0] <= 25 / 50 < cell[2]
    assert cell[1] <= 200 / 400 < cell[3]


@pytest.mark.parametrize(
    ("text", "told"),
    [
        ('image = "../sheet.png"', "leads out of the description's folder"),
        ('image = "/etc/passwd"', "leads out of the description's folder"),
        (r"image = 'a\sheet.png'", "leads out of the description's folder"),
        ('image = "sheet.svg"', "not the name of a PNG or JPEG picture"),
        ('image = "none.png"', "there is no picture none.png beside the description"),
        ('image = "text.png"', "neither a PNG nor a JPEG"),
        ('image = "torn.png"', "cannot be decoded"),
        ('image = "link.png"', "is a link"),
        ('nodes = { out = [0.5, 0.5] }', "image is missing"),
        ('image = "sheet.png"\nnodes = { nowhere = [0.5, 0.5] }', "there is no node nowhere"),
        ('image = "sheet.png"\nparts = { R9 = [0.5, 0.5] }', "there is no part R9"),
        ('image = "sheet.png"\nnodes = { out = [50, 50] }', "two numbers from 0 to 1"),
        ('image = "sheet.png"\nnodes = { R1.second = [0.5, 0.5] }', "put a pin in quotes"),
        ('image = "sheet.png"\nnodes = { out = [0.5, 0.5], "R1.second" = [0.1, 0.1] }', "has a place already"),
    ],
)  # fmt: skip
def test_a_wrong_picture_is_told(tmp_path: Path, text: str, told: str) -> None:
    (tmp_path / "sheet.png").write_bytes(picture("PNG"))
    (tmp_path / "text.png").write_text("no picture")
    (tmp_path / "torn.png").write_bytes(picture("PNG")[:90])
    (tmp_path / "link.png").symlink_to(tmp_path / "sheet.png")
    with pytest.raises(DescriptionError, match=told) as caught:
        scan(tmp_path, text)
    assert caught.value.line is not None
    assert caught.value.line > CIRCUIT.count("\n") - 1


def test_a_text_in_memory_reads_no_file() -> None:
    with pytest.raises(DescriptionError, match="in memory"):
        read_text(CIRCUIT + 'image = "sheet.png"', "sheet.toml")
