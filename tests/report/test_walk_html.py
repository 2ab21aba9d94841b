"""The walk-through as a page: HTML 5's nesting, WCAG 2.2's demands, and nothing fetched."""

import re
from dataclasses import replace

import numpy as np
import pytest

from pedalwright.analysis.records import Walk
from pedalwright.report.page_style import STYLE
from pedalwright.report.walk_html import walk_html

from .made_by_hand import FILTER, WALK, doubtful, saying, uncertified
from .pages import assert_sound

HOSTILE = [
    "<script>alert(1)</script>",
    "</title></style><img src=x onerror=alert(1)>",
    '" onmouseover="alert(1)" x=\'',
    "&lt;b&gt; & &amp;",
    "[red]bold[/red] | `code` **x**",
    "right\u202eto left\u202c and \u200bhidden",
    "\x1b[31mred\x1b[0m\x07",
    "x" * 10_000,
    "שלום",
]


@pytest.mark.parametrize("walk", [WALK, doubtful(), uncertified()], ids=["sound", "doubtful", "uncertified"])
def test_the_page_keeps_the_rules(walk: Walk) -> None:
    assert_sound(walk_html(walk))


@pytest.mark.parametrize("text", HOSTILE, ids=range(len(HOSTILE)))
def test_no_text_of_a_circuit_becomes_markup(text: str) -> None:
    plain, hostile = walk_html(saying("x" * len(text))), walk_html(saying(text))
    page = assert_sound(hostile)
    # The very same elements as for a harmless word: nothing was added by the text.
    assert [element.tag for element in page.elements] == [
        element.tag for element in assert_sound(plain).elements
    ]
    for hidden in "\u202e\u202c\u200b\x1b\x07":
        assert hidden not in hostile


def test_the_text_of_a_circuit_is_shown_as_it_is() -> None:
    page = assert_sound(walk_html(saying("<b>&amp;")))
    assert page.all("h1")[0].text == "<b>&amp;"


def test_tables_have_headers_for_rows_and_columns() -> None:
    page = assert_sound(walk_html(WALK))
    assert {element.attributes["scope"] for element in page.all("th")} == {"row", "col"}
    # Tables with a head of columns have a caption; those of two columns are headed by their rows.
    assert len(page.all("caption")) == len(page.all("thead"))


def test_every_drawing_has_a_title_and_a_description() -> None:
    page = assert_sound(walk_html(WALK))
    drawings = page.all("svg")
    assert len(drawings) == 2
    ids = {element.attributes.get("id"): element for element in page.all("title", "desc")}
    for drawing in drawings:
        assert drawing.attributes["role"] == "img"
        named = drawing.attributes["aria-labelledby"].split()
        assert all(ids[name].text.strip() for name in named)
    assert "highest 0.0 dB" in ids["plot2-d"].text


def test_the_closed_form_is_dashed_over_the_full_solution() -> None:
    page = assert_sound(walk_html(WALK))
    lines = [e for e in page.all("path") if "line" in e.attributes.get("class", "").split()]
    # One for the whole pedal; two for the stage, the dashed one drawn last.
    assert ["dashed" in line.attributes["class"] for line in lines] == [False, False, True]


def test_a_curve_without_a_number_is_not_drawn() -> None:
    curve = replace(FILTER.curves[0], full_db=np.full(41, np.nan), closed_db=None)
    page = assert_sound(walk_html(replace(WALK, stages=(replace(FILTER, curves=(curve,)),))))
    assert len(page.all("svg")) == 1


def test_a_gap_in_a_curve_is_a_gap_in_the_line() -> None:
    full_db = FILTER.curves[0].full_db
    assert full_db is not None
    values = full_db.copy()
    values[20] = -np.inf
    curve = replace(FILTER.curves[0], full_db=values, closed_db=None)
    page = assert_sound(walk_html(replace(WALK, stages=(replace(FILTER, curves=(curve,)),))))
    lines = [e for e in page.all("path") if "l0" in e.attributes.get("class", "").split()]
    points = [line.attributes["d"].count("L") + 1 for line in lines]
    assert points == [41, 20, 20]


def test_what_is_not_confirmed_and_what_is_refused_stands_out() -> None:
    page = assert_sound(walk_html(doubtful()))
    doubts = [e.text for e in page.all("p") if e.attributes.get("class") == "doubt"]
    assert doubts == ["Not confirmed: R9 acts on it too."]
    refused = assert_sound(walk_html(uncertified()))
    doubts = [e.text for e in refused.all("p") if e.attributes.get("class") == "doubt"]
    assert doubts == ["Resting voltages are not printed: not certified."] * 2
    assert "nan" not in walk_html(uncertified()).lower()


def test_cautions_for_whoever_builds_it_come_before_the_stages() -> None:
    text = walk_html(WALK)
    safety = text.index('id="safety"')
    assert safety < text.index('id="stage-1')
    for word in ("Mains", "electrolytic", "regulator", "headphones", "Solder", "licensed"):
        assert word in text[safety:]


def test_the_same_walk_gives_the_same_bytes() -> None:
    assert walk_html(WALK) == walk_html(WALK)


def luminance(colour: str) -> float:
    """Relative luminance as WCAG 2.2 defines it."""
    full = colour if len(colour) == 7 else "#" + "".join(2 * digit for digit in colour[1:])
    parts = [int(full[at : at + 2], 16) / 255 for at in (1, 3, 5)]
    linear = [part / 12.92 if part <= 0.04045 else ((part + 0.055) / 1.055) ** 2.4 for part in parts]
    return 0.2126 * linear[0] + 0.7152 * linear[1] + 0.0722 * linear[2]


def contrast(one: str, other: str) -> float:
    """Contrast ratio as WCAG 2.2 defines it."""
    light, dark = sorted((luminance(one), luminance(other)), reverse=True)
    return (light + 0.05) / (dark + 0.05)


def test_the_contrast_formula_on_the_standards_own_ends() -> None:
    # WCAG 2.2: black on white is 21 to 1; #767676 on white is the well-known grey just above 4.5.
    assert contrast("#000000", "#ffffff") == pytest.approx(21.0)
    assert contrast("#767676", "#ffffff") == pytest.approx(4.54, abs=0.005)


def test_every_text_colour_can_be_read_on_its_ground() -> None:
    schemes = re.findall(r":root\{([^}]*)\}", STYLE)
    assert len(schemes) == 3
    for scheme in schemes:
        colours = dict(re.findall(r"--(\w+):(#\w+)", scheme))
        for ink in ("ink", "soft", "accent", "second", "good", "doubt"):
            for ground in ("paper", "tint"):
                # WCAG 2.2, success criterion 1.4.3: at least 4.5 to 1.
                assert contrast(colours[ink], colours[ground]) >= 4.5, (ink, ground)
