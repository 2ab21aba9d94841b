"""The symbols: every device has one, and their pins are where wires can reach them."""

from itertools import pairwise
from pathlib import Path

import matplotlib
import numpy as np
import pytest
from matplotlib.ft2font import FT2Font

from pedalwright.devices.catalogue import devices
from pedalwright.report.drawing.metrics import label, shortened, text_width
from pedalwright.report.drawing.sheet import Ring
from pedalwright.report.drawing.symbols._family import symbol_for, symbols
from pedalwright.report.drawing.symbols.shape import STYLES, Shape, Symbol
from pedalwright.report.drawing.templates._family import templates
from pedalwright.stages.recognise import stage_kinds

ALL = [(symbol, style) for symbol in symbols() for style in STYLES]
BOXED = {"jack", "switch", "dual-opamp", "quad-opamp", "echo-chip", "optocoupler"}
"""kinds drawn as boxes, as contacts, or section by section"""


def edges(shape: Shape) -> list[tuple[float, float]]:
    """Every corner of a shape's lines; a ring by the corners of its square."""
    found: list[tuple[float, float]] = []
    for item in shape.ink:
        if isinstance(item, Ring):
            (left, top), r = item.centre, item.radius
            found += [(left - r, top - r), (left + r, top + r)]
        else:
            found += list(item.points)
    return found


def test_every_kind_of_part_has_a_symbol_or_is_drawn_otherwise() -> None:
    kinds = {device.kind for device in devices()}
    assert {kind for kind in kinds if not symbol_for(kind)} == BOXED
    assert {kind for symbol in symbols() for kind in symbol.kinds} <= kinds


@pytest.mark.parametrize("symbol, style", ALL, ids=lambda item: getattr(item, "name", item))
def test_a_symbol_reaches_its_pins_and_stays_in_its_body(symbol: Symbol, style: str) -> None:
    shape = symbol.draw(style)
    corners = edges(shape)
    for pin, (x, y) in shape.pins.items():
        assert (x, y) in corners, f"no line ends at pin {pin}"
    body, leads = shape.body, set(shape.pins.values())
    for cx, cy in corners:
        on_lead = any(cx == px or cy == py for px, py in leads)
        assert on_lead or (
            body.left - 0.15 <= cx <= body.right + 0.15 and body.top - 0.15 <= cy <= body.bottom + 0.15
        )
    if symbol.form == "two-pin":
        assert dict(shape.pins) == {"1": (0, 0), "2": (4, 0)}


@pytest.mark.parametrize("symbol", symbols(), ids=lambda symbol: symbol.name)
def test_four_quarters_are_a_turn_and_two_mirrors_are_none(symbol: Symbol) -> None:
    shape = symbol.draw("iec")
    round_about = shape.turned(1).turned(1).turned(1).turned(1)
    for other in (round_about, shape.upended().upended(), shape.mirrored().mirrored()):
        assert (dict(other.pins), other.body, dict(other.faces)) == (
            dict(shape.pins),
            shape.body,
            dict(shape.faces),
        )
        assert np.array(edges(other)) == pytest.approx(np.array(edges(shape)))


def test_the_styles_differ_where_the_standards_do() -> None:
    changed = {symbol.name for symbol in symbols() if symbol.draw("iec") != symbol.draw("american")}
    assert {"resistor", "knob", "trim", "electrolytic", "fuse", "photo-cell"} == changed


def test_a_resistor_is_a_rectangle_or_a_zigzag() -> None:
    box, zigzag = (next(s for s in symbols() if s.name == "resistor").draw(style) for style in STYLES)
    closed = [item for item in box.ink if not isinstance(item, Ring) and item.closed]
    assert [len(item.points) for item in closed] == [4]
    (line,) = zigzag.ink
    assert not isinstance(line, Ring)
    turns = [y for _, y in line.points if y]
    assert len(turns) == 6 and all(a * b < 0 for a, b in pairwise(turns))


def test_every_template_is_for_kinds_that_exist_and_no_kind_has_two() -> None:
    known = {kind.kind for kind in stage_kinds()}
    named = [kind for template in templates() for kind in template.kinds]
    assert set(named) <= known and len(named) == len(set(named))
    assert all(template.says for template in templates())
    assert known - set(named) == {"general-network"}


def test_the_widths_are_those_of_the_font() -> None:
    """DejaVu Sans, from the file that comes with Matplotlib, at a thousand units to the letter."""
    font = FT2Font(str(Path(matplotlib.get_data_path()) / "fonts" / "ttf" / "DejaVuSans.ttf"))
    font.set_size(1000, 72)
    for code in (*range(32, 127), *map(ord, "µΩ×−")):
        advance = font.load_char(code).linearHoriAdvance / 65536
        assert text_width(chr(code), 1000) == pytest.approx(advance, abs=1.0)


@pytest.mark.parametrize("letter", ["漢", "ש", "ä", "€", "…", "😀"])
def test_other_letters_are_taken_as_wide_as_high(letter: str) -> None:
    assert text_width(letter, 10) >= 10


def test_long_texts_are_cut_and_lines_joined() -> None:
    assert shortened("a" * 30, 10) == "a" * 9 + "…"
    assert shortened("two\nlines\there", 40) == "two lines here"
    assert shortened("short", 10) == "short"


@pytest.mark.parametrize(
    "anchor, left", [("start", 10.0), ("middle", 10.0 - 1.908 / 2), ("end", 10.0 - 1.908)]
)
def test_a_label_covers_its_text(anchor: str, left: float) -> None:
    item = label("100", 10, 5, anchor=anchor, size=1, kind="value", owner="R1")
    assert item.box.left == pytest.approx(left)
    assert item.box.right - item.box.left == pytest.approx(3 * 0.636)
    assert item.box.top < 5 < item.box.bottom
