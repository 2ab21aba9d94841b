"""The SVG file: sound markup, ids to click, colours of the page, the same bytes every time, nothing
smuggled in.
"""

import re
import subprocess
import sys
from dataclasses import replace
from pathlib import Path
from xml.etree import ElementTree

import pytest

from pedalwright.analysis.memo import Analysis
from pedalwright.notation import read_text
from pedalwright.report.drawing import proof_of, schematic, schematic_svg, sheet_svg
from pedalwright.report.drawing.overlap import clashes

from .pictures import NAMES, analysis_of, sheet_of

SVG = "{http://www.w3.org/2000/svg}"
SNAPSHOTS = Path(__file__).with_name("snapshots")
KEPT = {
    "lesson-sallen-key": "iec",
    "kilnhouse-drive": "american",
    "lantern-echo": "iec",
    "plumtree-fuzz": "iec",
    "windowsill-tone": "iec",
    "three-shelves-tone": "iec",
    "millwheel-tremolo": "iec",
}


def root_of(svg: str) -> ElementTree.Element:
    return ElementTree.fromstring(svg)


def groups(root: ElementTree.Element, word: str) -> dict[str, ElementTree.Element]:
    found = {}
    for group in root.iter(f"{SVG}g"):
        if word in group.get("class", "").split():
            found[group.get("id", "")] = group
    return found


@pytest.mark.parametrize("name", NAMES)
def test_every_file_is_sound_and_every_part_and_net_can_be_clicked(name: str) -> None:
    analysis, root = analysis_of(name), root_of(sheet_svg(sheet_of(name)))
    idents = [item.get("id") for item in root.iter() if item.get("id")]
    assert len(idents) == len(set(idents))
    parts = {group.get("data-ref") for group in groups(root, "part").values()}
    assert parts >= {part.ref for part in analysis.circuit.parts}
    nets = {group.get("data-net") for group in groups(root, "net").values()}
    shared = {net.lstrip("~") for net, pins in analysis.circuit.pins_on.items() if len(pins) > 2}
    assert nets >= shared
    assert all(group.find(f"{SVG}title") is not None for group in groups(root, "part").values())


def test_the_ids_are_as_promised() -> None:
    root = root_of(schematic_svg(analysis_of("lantern-echo")))
    assert {"part-R5", "part-U1a", "part-TIME", "net-VB", "net-gnd", "net-U2.12"} <= {
        item.get("id") for item in root.iter()
    }


def test_test_points_have_flags_and_their_names() -> None:
    nets = groups(root_of(schematic_svg(analysis_of("plumtree-fuzz"))), "point")
    titles = [group.findtext(f"{SVG}title") for group in nets.values()]
    assert titles == ["Q1.c: first collector, 3 to 6 V", "Q2.c: second collector, 4 to 6 V"]
    for group in nets.values():
        assert [text.text for text in group.iter(f"{SVG}text")]


@pytest.mark.parametrize("name", NAMES)
def test_every_test_point_is_named_on_the_sheet(name: str) -> None:
    flags = {flag.net for flag in sheet_of(name).flags}
    assert {point.net for point in analysis_of(name).circuit.points} <= flags


@pytest.mark.parametrize("name", ["lantern-echo", "crossroads-box"])
def test_colours_come_from_the_page(name: str) -> None:
    svg = sheet_svg(sheet_of(name))
    assert "currentColor" in svg
    assert not re.search(
        r"#[0-9a-fA-F]{3,6}\b|rgb\(|(?:fill|stroke):(?!none|currentColor|transparent)[a-z]", svg
    )


def test_nothing_is_fetched_and_nothing_runs() -> None:
    for name in NAMES:
        svg = sheet_svg(sheet_of(name))
        assert "<script" not in svg and "href" not in svg and "url(" not in svg and "@import" not in svg


def test_everything_lies_inside_the_picture() -> None:
    for name in NAMES:
        sheet = sheet_of(name)
        left, top, width, height = map(float, root_of(sheet_svg(sheet)).get("viewBox", "").split())
        for box in [one.body for one in sheet.placed] + [item.box for item in sheet.labels]:
            assert left <= box.left * 10 and box.right * 10 <= left + width
            assert top <= box.top * 10 and box.bottom * 10 <= top + height


@pytest.mark.parametrize("name", KEPT)
def test_the_sheets_looked_at_are_still_drawn_so(name: str) -> None:
    """Sheets that were looked at by eye and found good. To renew them, look again and run
    `python -m tests.report.drawing.test_svg`.
    """
    kept = (SNAPSHOTS / f"{name}.svg").read_text(encoding="utf-8")
    assert schematic_svg(analysis_of(name), symbols=KEPT[name]) == kept


@pytest.mark.slow
def test_the_same_text_gives_the_same_bytes_in_another_process() -> None:
    """Also with another order of hashes."""
    code = (
        "from pedalwright import circuits;from pedalwright.analysis.memo import Analysis;"
        "from pedalwright.notation import read_text;from pedalwright.report.drawing import schematic_svg;"
        "import sys;text=circuits.text('lantern-echo');"
        "sys.stdout.write(schematic_svg(Analysis(read_text(text))))"
    )
    made = [
        subprocess.run(
            [sys.executable, "-c", code],
            capture_output=True,
            check=True,
            env={"PYTHONHASHSEED": seed, "PYTHONIOENCODING": "utf-8", "OPENBLAS_NUM_THREADS": "1"},
        ).stdout
        for seed in ("1", "2")
    ]
    assert made[0] == made[1] == schematic_svg(analysis_of("lantern-echo")).encode()


HOSTILE = {
    "markup": '<script>alert("x")</script>',
    "entity": "R&D &lt;b&gt; 'single' \"double\"",
    "closing": "</title></svg><svg onload=x>",
    "hebrew": "פדל הד עם טקסט",
    "turning": "abc\u202edef\u2066ghi",
    "long": "x" * 10_000,
    "control": "a\x00b\x1bc\x07",
    "chinese": "回声踏板" * 20,
}
TEXT = """pedal Plain
supply VIN 9V battery
input IN pickup
output OUT 1M
part U1 dual-opamp TL072 v+=VA v-=gnd
knob DRIVE 100k audio at 5
VIN > D1 1N5817 > VA > C1 100u (electrolytic, 16V) > gnd
VA > R1 22k > VB > R2 22k > gnd
IN > C2 47n > U1a.non > R3 1M > VB
U1a.inv > R4 1k > C3 1u > gnd
U1a.inv > R5 4k7 > DRIVE.1
DRIVE.2 > DRIVE.3 > U1a.out
U1a.out > C4 10u > OUT > R6 100k > gnd
"""


def disguised(words: str) -> Analysis:
    """The circuit with a hostile title, hostile values, types, part and net names; the notation would let few
    of them pass, a circuit made in Python might hold them all.
    """
    circuit = read_text(TEXT)
    nets = {net: f"{net}{words}" for net in circuit.nets if net in ("VB", "OUT")}
    parts = tuple(
        replace(
            part,
            pins=tuple((pin, nets.get(net, net)) for pin, net in part.pins),
            value_text=words if part.ref in ("R3", "C4") else part.value_text,
            ref=f"R{words}" if part.ref == "R6" else part.ref,
        )
        for part in circuit.parts
    )
    assert circuit.output is not None
    output = replace(circuit.output, net=nets[circuit.output.net])
    return Analysis(replace(circuit, title=words, parts=parts, output=output))


@pytest.mark.parametrize("sort", HOSTILE)
def test_hostile_names_stay_text(sort: str) -> None:
    words = HOSTILE[sort]
    analysis = disguised(words)
    sheet = schematic(analysis)
    assert proof_of(analysis, sheet).faults == ()
    assert clashes(sheet.placed, sheet.wires, sheet.flags, sheet.labels) == ()
    svg = sheet_svg(sheet)
    root = root_of(svg)
    assert {item.tag for item in root.iter()} == {
        SVG + tag for tag in ("svg", "title", "style", "g", "path", "circle", "rect", "text")
    }
    known = {
        "class",
        "id",
        "d",
        "x",
        "y",
        "cx",
        "cy",
        "r",
        "rx",
        "width",
        "height",
        "text-anchor",
        "font-size",
    }
    known |= {"data-ref", "data-net", "data-kind", "role", "viewBox", "aria-labelledby"}
    assert {name for item in root.iter() for name in item.attrib} <= known
    assert not re.search(r"[\u0000-\u0008\u000b-\u001f\u202a-\u202e\u2066-\u2069]", svg)
    assert max(len(item.text or "") for item in root.iter(f"{SVG}text")) < 60
    assert all(re.fullmatch(r"[A-Za-z0-9_.-]+", item.get("id", "x")) for item in root.iter())


def test_nets_whose_names_are_cut_alike_keep_different_flags() -> None:
    text = "input IN pickup\noutput OUT 1M\n" + "".join(
        f"IN > R{n} 1k > {'A' * 20}{n} > C{n} 1n > gnd\n{'A' * 20}{n} > R{n + 50} 1k > OUT\n"
        for n in range(1, 6)
    )
    analysis = Analysis(read_text(text))
    sheet = schematic(analysis)
    assert proof_of(analysis, sheet).holds
    names = {(flag.net, flag.name) for flag in sheet.flags}
    assert len({name for _, name in names}) == len({net for net, _ in names})


if __name__ == "__main__":
    SNAPSHOTS.mkdir(exist_ok=True)
    for circuit_name, style in KEPT.items():
        drawn = schematic_svg(analysis_of(circuit_name), symbols=style)
        (SNAPSHOTS / f"{circuit_name}.svg").write_text(drawn, encoding="utf-8")
