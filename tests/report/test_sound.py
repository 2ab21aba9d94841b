"""Sound in documents: clips that browsers play, fields of levels, pictures, sentences, JSON."""

import re
import struct
import zlib
from base64 import b64decode
from io import BytesIO
from pathlib import Path
from xml.etree import ElementTree

import matplotlib.image
import numpy as np
import pytest
import soundfile

from pedalwright import read_text
from pedalwright.report.blocks import Clip, Clips, Document, Field, Fields, Section
from pedalwright.report.html_page import html_page
from pedalwright.report.markdown_page import markdown_page
from pedalwright.report.sound_clip import CLIP_RATE_HZ, LONGEST_S, MOST_BYTES, sound_clip
from pedalwright.report.sound_document import sound_document
from pedalwright.report.sound_field import described, field_svg, greys
from pedalwright.report.sound_json import sound_data
from pedalwright.report.sound_page import sound_page
from pedalwright.report.sound_pictures import picture_svg
from pedalwright.report.sound_png import grey_png
from pedalwright.report.terminal_page import console_for, print_page
from pedalwright.sound.hearing import hear
from pedalwright.sound.wish import Heard, Wish
from tests.sound.stand_ins import Echo, StandIn

from .pages import assert_sound
from .schemas import documented_keys, keys_of

ROOT = Path(__file__).resolve().parents[2]
TEXT = "pedal <Wire> & [all]\ninput IN pickup\noutput OUT 1M\nIN > R1 1k > OUT\n"
EVIL = "<script>alert(1)</script>"


@pytest.fixture
def heard(tmp_path: Path) -> Heard:
    wish = Wish(sound="click", tail_s=1.0, picture=True, with_bypass=True)
    goal = tmp_path / "out.wav"
    return hear(
        read_text(TEXT),
        goal,
        wish,
        make_player=lambda circuit, movements, wish: StandIn(Echo(9600, 0.5), remarks=(f"{EVIL} clips.",)),
    )


def sine(seconds: float, peak: float = 0.5) -> np.ndarray:
    return peak * np.sin(2 * np.pi * 440 * np.arange(round(seconds * 48000)) / 48000)


def clip_of(title: str = "Engaged") -> Clip:
    return sound_clip(sine(0.5), 48000, title=title, told="0.5 V peak.")


def page_of(*blocks: Clips | Fields) -> Document:
    return Document(title="Sound", sections=(Section(anchor="a", heading="A", blocks=blocks),))


def test_a_clip_is_the_sound_in_a_form_browsers_play() -> None:
    clip = clip_of()
    samples, rate_hz = soundfile.read(BytesIO(clip.data))
    assert (clip.media_type, clip.data[:4], rate_hz) == ("audio/flac", b"fLaC", CLIP_RATE_HZ)
    assert clip.seconds == pytest.approx(0.5) and len(samples) == round(0.5 * CLIP_RATE_HZ)
    wanted = 0.5 * np.sin(2 * np.pi * 440 * np.arange(len(samples)) / CLIP_RATE_HZ)
    assert samples[500:-500] == pytest.approx(wanted[500:-500], abs=1e-3)


def test_a_long_clip_is_cut_and_faded_and_never_too_large() -> None:
    noise = np.random.default_rng(3).uniform(-1.0, 1.0, 48000 * 20)
    clip = sound_clip(noise, 48000, title="Noise", told="")
    samples, _ = soundfile.read(BytesIO(clip.data))
    assert clip.seconds <= LONGEST_S and len(clip.data) * 4 / 3 <= MOST_BYTES
    assert np.abs(samples[-20:]).max() < 0.01 < np.abs(samples[:1000]).max()


def test_a_clip_that_would_be_clipped_is_refused() -> None:
    with pytest.raises(ValueError, match="full scale"):
        sound_clip(sine(0.1, peak=1.5), 48000, title="Too loud", told="")


def test_a_clip_in_a_page_is_labelled_silent_until_asked_and_cautioned() -> None:
    text = html_page(page_of(Clips((clip_of(EVIL), clip_of("Dry")))))
    page = assert_sound(text)
    first, second = page.all("audio")
    captions = {element.attributes["id"]: element.text for element in page.all("figcaption")}
    assert {"controls", "src", "aria-labelledby", "preload"} == set(first.attributes)
    assert EVIL in captions[first.attributes["aria-labelledby"]]
    assert "Turn the volume down" in captions[second.attributes["aria-labelledby"]]
    head, _, data = second.attributes["src"].partition(",")
    assert head == "data:audio/flac;base64" and b64decode(data) == clip_of("Dry").data


def test_where_nothing_can_be_played_a_sentence_stands() -> None:
    from io import StringIO

    document = page_of(Clips((clip_of("Engaged"),)))
    stream = StringIO()
    print_page(document, console_for(stream, 100))
    for text in (stream.getvalue(), markdown_page(document)):
        assert "Sound, 0.5 s, played by the HTML page: Engaged. 0.5 V peak." in text.replace("\\", "")


def test_the_png_is_read_by_another_program() -> None:
    picture = np.random.default_rng(1).integers(0, 256, (17, 31), dtype=np.uint8)
    data = grey_png(picture)
    found = matplotlib.image.imread(BytesIO(data), format="png")
    assert np.array_equal(np.round(found * 255).astype(np.uint8), picture)
    # ISO/IEC 15948, 5.3: every chunk ends in the CRC of its type and data.
    length = struct.unpack(">I", data[8:12])[0]
    assert struct.unpack(">I", data[16 + length : 20 + length])[0] == zlib.crc32(data[12 : 16 + length])


def ramp() -> Field:
    return Field(
        title=EVIL,
        seconds=2.0,
        levels_db=np.array([[-10.0, -20.0], [-np.inf, 0.0], [-200.0, -np.nan]]),
        depth_db=40.0,
        quantity="octave",
        ticks=((0.17, "low"), (0.5, "middle"), (0.83, "high")),
        marks=((0.5, "one"), (0.51, "two"), (9.0, "beyond")),
    )


def test_a_field_is_lightest_at_its_loudest_with_the_highest_row_on_top() -> None:
    assert greys(ramp()).tolist() == [[0, 0], [0, 255], [191, 128]]
    assert described(ramp()).startswith(
        "Level as shades over 2 s. Loudest after 1.5 s, near middle (octave)."
    )
    drawn = field_svg(ramp(), "f")
    tree = ElementTree.fromstring(drawn.replace("<svg ", '<svg xmlns="http://www.w3.org/2000/svg" ', 1))
    texts = ["".join(one.itertext()) for one in tree.iter("{http://www.w3.org/2000/svg}text")]
    # Two marks stand too near each other for both names; the one beyond the end is not drawn.
    assert "one" in texts and "two" not in texts and "beyond" not in texts
    assert drawn.count('class="mark"') == 2
    assert_sound(html_page(page_of(Fields((ramp(), ramp())))))


def test_a_field_of_nothing_is_not_drawn() -> None:
    nothing = Field(
        title="", seconds=1.0, levels_db=np.full((2, 2), -np.inf), depth_db=9.0, quantity="", ticks=()
    )
    assert field_svg(nothing, "f") == ""


def test_what_was_heard_is_told_alike_in_every_medium(heard: Heard) -> None:
    from io import StringIO

    stream = StringIO()
    document = sound_document(heard)
    print_page(document, console_for(stream, 100))
    page = assert_sound(html_page(document))
    for text in (stream.getvalue(), page.all("body")[0].text):
        told = " ".join(text.split())
        for words in (
            "500 mV peak",
            "a magnetic pickup",
            "Turn the volume down",
            "bypassed, then engaged",
            EVIL,
        ):
            assert words in told, words
        assert "ends 1.0 s behind the sound's end, as asked for" in told


def test_the_page_plays_every_take_and_shows_the_pictures(heard: Heard) -> None:
    text = sound_page(heard)
    page = assert_sound(text)
    assert len(page.all("audio")) == 2 and len(page.all("image")) == 2
    assert len(page.all("svg")) == 4
    assert text == sound_page(heard)


def test_the_pictures_alone_are_one_svg(heard: Heard) -> None:
    assert heard.looks is not None
    text = picture_svg(heard.looks, ((0.2, "1"),))
    tree = ElementTree.fromstring(text)
    assert tree.tag == "{http://www.w3.org/2000/svg}svg"
    assert re.search(r"url\((?!#)|@import|https?://(?!www\.w3\.org/2000/svg)", text) is None
    style = "".join(next(tree.iter("{http://www.w3.org/2000/svg}style")).itertext())
    assert style.count("{") == style.count("}")
    ids = [one.attrib["id"] for one in tree.iter() if "id" in one.attrib]
    assert len(ids) == len(set(ids)) > 8


def test_the_json_has_the_keys_the_manual_tells(heard: Heard, tmp_path: Path) -> None:
    wish = Wish(sound="click", tail_s=0.1, measure=True)
    echo = "part U1 echo-chip supply=V\nsupply V 5V wall\nU1.6 > R2 10k > gnd\n"
    measured = hear(
        read_text(TEXT + echo),
        tmp_path / "b.wav",
        wish,
        make_player=lambda circuit, movements, wish: StandIn(lambda v: np.tanh(v) + 1e-4 * v**2),
    )
    data = sound_data(measured)
    assert data["schema"] == "pedalwright.hear/1"
    assert keys_of(data) == documented_keys(ROOT, "pedalwright.hear/1")
    taken = data["takes"][0]
    # tanh bends a sine of peak A to a third harmonic of about A^2/12 of it (its power series); A is 0.5.
    third = next(one for one in taken["measured"]["distortion"]["harmonics"] if one["order"] == 3)
    assert 10 ** (third["level_db"] / 20) == pytest.approx(0.25 / 12, rel=0.15)
    assert taken["measured"]["clipping"]["by"] == "distortion"
