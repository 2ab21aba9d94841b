"""The signal map: every way of the signal is on it, nothing covers anything, and its figures are the
walk's.
"""

from itertools import combinations
from xml.etree import ElementTree

import pytest

from pedalwright.analysis.memo import Analysis
from pedalwright.analysis.walk import walk
from pedalwright.notation import read_text
from pedalwright.report.drawing import schematic_svg, signal_map, signal_map_svg
from pedalwright.report.drawing.overlap import shared
from pedalwright.report.drawing.signal_map.layout import INPUT, OUTPUT, Arrow, SignalMap
from pedalwright.report.figures import decibels

from .pictures import NAMES, analysis_of

SOME = (
    "lantern-echo",
    "coalhole-reverb",
    "kilnhouse-drive",
    "duckpond-chorus",
    "crossroads-box",
    "state-variable",
)


def on_edge(drawn: SignalMap, name: str, at: tuple[float, float]) -> bool:
    box = next(one.box for one in drawn.stations if one.name == name)
    x, y = at
    return (x in (box.left, box.right) and box.top <= y <= box.bottom) or (
        y in (box.top, box.bottom) and box.left <= x <= box.right
    )


@pytest.mark.parametrize("name", NAMES)
def test_every_stage_that_leads_a_signal_on_is_a_block_and_every_way_an_arrow(name: str) -> None:
    analysis = analysis_of(name)
    drawn = signal_map(analysis)
    leading = {stage.name: stage for stage in analysis.stages.stages if stage.inputs and stage.output}
    names = [one.name for one in drawn.stations]
    assert sorted(names) == sorted({*leading, *({INPUT, OUTPUT} & set(names))})
    ways = {(arrow.start, arrow.end) for arrow in drawn.arrows}
    for stage in leading.values():
        for other in leading.values():
            joined = stage.output in other.inputs and stage is not other
            assert ((stage.name, other.name) in ways) == joined
    for arrow in drawn.arrows:
        assert on_edge(drawn, arrow.start, arrow.points[0]) and on_edge(drawn, arrow.end, arrow.points[-1])


def through(arrow: Arrow, drawn: SignalMap) -> list[str]:
    """Blocks that an arrow runs through."""
    found = []
    for (x0, y0), (x1, y1) in zip(arrow.points, arrow.points[1:], strict=False):
        assert x0 == x1 or y0 == y1
        for one in drawn.stations:
            box = one.box
            level = y0 == y1 and box.top < y0 < box.bottom
            level = level and min(x0, x1) < box.right and max(x0, x1) > box.left
            upright = x0 == x1 and box.left < x0 < box.right
            upright = upright and min(y0, y1) < box.bottom and max(y0, y1) > box.top
            if level or upright:
                found.append(one.name)
    return found


@pytest.mark.parametrize("name", NAMES)
def test_nothing_covers_anything(name: str) -> None:
    drawn = signal_map(analysis_of(name))
    boxes = [one.box for one in drawn.stations] + [item.box for item in drawn.labels]
    assert [pair for pair in combinations(boxes, 2) if shared(*pair) > 0] == []
    for one in drawn.stations:
        for text in one.texts:
            assert one.box.left <= text.box.left and text.box.right <= one.box.right
            assert one.box.top <= text.box.top and text.box.bottom <= one.box.bottom
        assert [pair for pair in combinations([text.box for text in one.texts], 2) if shared(*pair) > 0] == []
    assert [arrow for arrow in drawn.arrows if through(arrow, drawn)] == []


def test_two_ways_never_share_a_lane() -> None:
    for name in NAMES:
        pieces: dict[tuple[str, float], list[tuple[float, float, str]]] = {}
        for arrow in signal_map(analysis_of(name)).arrows:
            for (x0, y0), (x1, y1) in zip(arrow.points, arrow.points[1:], strict=False):
                way = ("-", y0) if y0 == y1 else ("|", x0)
                ends = sorted((x0, x1) if y0 == y1 else (y0, y1))
                pieces.setdefault(way, []).append((ends[0], ends[1], arrow.net))
        for beside in pieces.values():
            for first, second in combinations(beside, 2):
                apart = first[1] <= second[0] or second[1] <= first[0]
                assert apart or first[2] == second[2] or _meet_at_a_block(first, second), (
                    name,
                    first,
                    second,
                )


def _meet_at_a_block(first: tuple[float, float, str], second: tuple[float, float, str]) -> bool:
    """Ways into the same side of one block run together on their last steps, as the loop into a first
    block.
    """
    return first[1] == second[1] or first[0] == second[0]


def test_the_loop_of_the_echo_is_to_be_seen() -> None:
    analysis = analysis_of("lantern-echo")
    back = [(arrow.start, arrow.end) for arrow in signal_map(analysis).arrows if arrow.back]
    kinds = {stage.name: stage.kind for stage in analysis.stages.stages}
    assert [(kinds[a], kinds[b]) for a, b in back] == [("feedback-path", "multiple-feedback-low-pass")]
    assert signal_map_svg(analysis).count('class="way back"') == 1
    assert "way back" not in signal_map_svg(analysis_of("gatepost-buffer"))


@pytest.mark.parametrize("name", SOME)
def test_the_gains_are_those_of_the_walk(name: str) -> None:
    analysis = analysis_of(name)
    told = {stage.name: stage for stage in walk(analysis).stages}
    compared = 0
    for one in signal_map(analysis).stations:
        if one.name not in told:
            continue
        walked = [number.full for number in told[one.name].numbers if number.name == "gain at 1 kHz"]
        texts = [text.text for text in one.texts]
        for full in walked:
            if full is not None and full > -100:
                assert decibels(full) in texts
                compared += 1
    assert compared > 1


@pytest.mark.parametrize("name", SOME)
def test_the_levels_are_those_of_the_walk_or_where_it_clips(name: str) -> None:
    analysis = analysis_of(name)
    told = {level.net: level for stage in walk(analysis).stages for level in stage.levels}
    for item in signal_map(analysis).labels:
        if item.kind == "level" and item.owner in told:
            level = told[item.owner]
            assert level.level_v is not None
            over = level.limit_v is not None and 0 < level.limit_v < level.level_v
            assert item.text.startswith("clips at ") == over


def test_the_delay_is_on_the_chip() -> None:
    analysis = analysis_of("lantern-echo")
    echo = walk(analysis).echo
    assert echo is not None
    chip = next(one for one in signal_map(analysis).stations if one.kind == "echo-chip")
    assert f"delay {1e3 * echo.chips[0].delay_s:.0f} ms" in [text.text for text in chip.texts]


def test_a_circuit_at_unrest_is_mapped_without_figures() -> None:
    """Nothing is printed that could not be certified."""
    text = "input IN pickup\noutput OUT 1M\nIN > R1 1k > OUT > C1 1n > gnd\n"
    analysis = Analysis(read_text(text))
    analysis.__dict__["small"] = None
    drawn = signal_map(analysis)
    assert {text.text for one in drawn.stations for text in one.texts} <= {
        "Input",
        "pickup",
        "Output",
        "RC low-pass",
    }
    assert [item for item in drawn.labels if item.kind == "level"] == []


@pytest.mark.parametrize("name", SOME)
def test_the_file_is_sound_the_same_every_time_and_shares_no_id_with_the_schematic(name: str) -> None:
    svg = signal_map_svg(analysis_of(name))
    root = ElementTree.fromstring(svg)
    idents = [item.get("id") for item in root.iter() if item.get("id")]
    assert len(idents) == len(set(idents))
    assert svg == signal_map_svg(analysis_of(name))
    schematic = ElementTree.fromstring(schematic_svg(analysis_of(name)))
    assert not {item.get("id") for item in schematic.iter() if item.get("id")} & set(idents)
    assert "<script" not in svg and "href" not in svg
