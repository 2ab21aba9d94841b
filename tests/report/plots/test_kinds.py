"""Every kind of plot of every package circuit: known or refused, drawn inside its axes, told in words."""

from functools import cache
from pathlib import Path

import numpy as np
import pytest

from pedalwright import circuits, read_text
from pedalwright.analysis.memo import Analysis
from pedalwright.report.blocks import Plot
from pedalwright.report.plot_file import plot_file
from pedalwright.report.plot_svg import FAR, described, legend, plot_svg
from pedalwright.report.plots.kind import CannotPlot, PlotKind
from pedalwright.report.plots_catalogue import Drawn, drawn, kinds_named, plot_kinds
from pedalwright.report.plots_data import plots_csv, plots_json, series_of
from pedalwright.report.plots_document import plots_document
from pedalwright.solve.certificate import Certificate, NotCertified

from .drawings import bounds, read_back

SNAPSHOTS = Path(__file__).parent / "snapshots"
CIRCUITS = sorted(circuits.names())
ECHOES = {"lantern-echo", "grainloft-reverb", "duckpond-chorus"}
ECHO_KINDS = ("repeats", "decay", "delay-dial")
SMALL = "three-shelves-tone"


@cache
def plots_of(name: str) -> tuple[Drawn, ...]:
    """All plots of a package circuit, worked out once."""
    return drawn(read_text(circuits.text(name)))


def every_plot() -> list[tuple[str, str, Plot]]:
    """Every plot of every package circuit: circuit, kind, plot."""
    return [(name, one.kind.name, plot) for name in CIRCUITS for one in plots_of(name) for plot in one.plots]


@pytest.mark.parametrize("name", CIRCUITS)
def test_everything_is_drawn_and_certified(name: str) -> None:
    found = {one.kind.name: one for one in plots_of(name)}
    assert [one.refusal for one in found.values()] == [""] * len(found)
    assert {"response", "stages", "noise", "impedances"} <= set(found)
    assert ("repeats" in found) == (name in ECHOES)
    assert ("knobs" in found) == bool(read_text(circuits.text(name)).circuit.knobs)
    band = found["response"].plots[0].shades[0]
    assert "400 builds" in band.name and np.isfinite(band.low).all() and np.isfinite(band.high).all()


@pytest.mark.parametrize("name", CIRCUITS)
def test_every_series_has_points_and_none_is_infinite(name: str) -> None:
    for one in plots_of(name):
        for plot in one.plots:
            for series, values in series_of(plot):
                assert values.shape == plot.frequency_hz.shape, (one.kind.name, series)
                assert np.isfinite(values).sum() > 1, (one.kind.name, series)
                assert not np.isposinf(values).any(), (one.kind.name, series)


@pytest.mark.parametrize("name", CIRCUITS)
def test_nothing_is_drawn_outside_the_axes(name: str) -> None:
    for one in plots_of(name):
        for plot in one.plots:
            for svg in (plot_svg(plot, "a"), plot_file(plot)):
                _assert_inside(svg, f"{one.kind.name}: {plot.title}")


def _assert_inside(svg: str, name: str) -> None:
    drawing = read_back(svg)
    assert drawing.view.holds(drawing.axes), name
    assert all(drawing.axes.holds(line, room=0.06) for line in drawing.grid), name
    assert drawing.inside, name
    for item in drawing.inside:
        box = bounds(item.get("d", ""))
        assert drawing.axes.left - 0.06 <= box.left and box.right <= drawing.axes.right + 0.06, name
        # What lies deeper than the axis reaches is cut off there, and not followed far.
        assert box.top >= drawing.axes.top - FAR - 0.06 and box.bottom <= drawing.axes.bottom + FAR + 0.06, (
            name
        )
        assert item.get("class", "").split()[0] in ("line", "range"), name
    others = [item for item in drawing.all("path") if item not in drawing.inside]
    assert all(item.get("class", "").startswith("grid") or item.get("class") is None for item in others), name


@pytest.mark.parametrize("name", CIRCUITS)
def test_no_number_at_an_axis_touches_another(name: str) -> None:
    for one in plots_of(name):
        for plot in one.plots:
            drawing = read_back(plot_svg(plot, "a"))
            ticks = drawing.ticks
            assert 5 <= len(ticks) <= 20, plot.title
            assert all(drawing.view.holds(box) for box in ticks), plot.title
            meetings = [(a, b) for at, a in enumerate(ticks) for b in ticks[at + 1 :] if a.meets(b)]
            assert meetings == [], plot.title


def names_in(plot: Plot) -> list[str]:
    """The names of its lines and shades."""
    return [*(line.name for line in plot.lines), *(shade.name for shade in plot.shades)]


def test_every_plot_is_told_in_words() -> None:
    for name, kind, plot in every_plot():
        drawing = read_back(plot_svg(plot, "a"))
        (told,) = drawing.all("desc")
        assert told.text == described(plot), (name, kind)
        assert plot.unit in described(plot) and drawing.root.get("role") == "img"
        assert all(series in described(plot) for series in names_in(plot)), (name, kind)
        assert drawing.root.get("aria-labelledby") == "a-t a-d"
        assert legend(plot) == "" or all(series in legend(plot) for series in names_in(plot))


def test_a_file_stands_by_itself() -> None:
    for name, kind, plot in every_plot():
        drawing = read_back(plot_file(plot))
        texts = [item for item in drawing.all("text") if item.get("class") in ("head", "name")]
        level = [item for item in texts if not item.get("transform")]
        words = " ".join(item.text or "" for item in level)
        assert plot.title in words, (name, kind)
        assert legend(plot) in words, (name, kind)
        assert drawing.root.tag == "{http://www.w3.org/2000/svg}svg"
        assert all(float(item.get("y", "0")) >= drawing.view.top + 8 for item in level), (name, kind)


def test_the_same_text_gives_the_same_bytes() -> None:
    first = drawn(read_text(circuits.text(SMALL)))
    second = drawn(read_text(circuits.text(SMALL)))
    assert plots_json("", first, "", {}) == plots_json("", second, "", {})
    assert plots_csv(first) == plots_csv(second)
    files = [[plot_file(plot) for one in found for plot in one.plots] for found in (first, second)]
    assert files[0] == files[1]


@pytest.mark.parametrize(("name", "kind"), [(SMALL, "response"), ("lantern-echo", "delay-dial")])
def test_two_plots_look_as_they_did(name: str, kind: str) -> None:
    """To take new ones, remove the files and run this twice; then look at them."""
    (found,) = (one for one in plots_of(name) if one.kind.name == kind)
    pictures = [plot_file(found.plots[0]), *(f"{picture.svg}\n" for picture in found.pictures)]
    for place, svg in enumerate(pictures, start=1):
        path = SNAPSHOTS / f"{name}-{kind}-{place}.svg"
        if not path.exists():
            path.write_text(svg, encoding="utf-8")
            pytest.fail(f"{path.name} was not there and has been written")
        assert path.read_text(encoding="utf-8") == svg


def test_the_dial_says_what_the_plot_beside_it_shows() -> None:
    (found,) = (one for one in plots_of("lantern-echo") if one.kind.name == "delay-dial")
    (picture,), (plot,) = found.pictures, found.plots
    drawing = read_back(picture.svg)
    told = [float(item.text or "") for item in drawing.all("text") if item.get("class") == "told"]
    delays = np.interp(np.arange(11), plot.frequency_hz, plot.lines[0].values)
    assert told == pytest.approx(delays.tolist(), rel=6e-3)
    assert told == sorted(told)
    shade = plot.shades[0]
    assert np.all(shade.low <= plot.lines[0].values) and np.all(plot.lines[0].values <= shade.high)


def test_a_circuit_with_nothing_to_show_has_no_plots() -> None:
    assert drawn(read_text("A > R1 1k > gnd\n")) == ()
    document = plots_document("Bare", (), "0" * 64)
    assert [section.anchor for section in document.sections] == ["none"]


JACKS = "input IN line\noutput OUT 1M\n"
ODD = {
    "shorted jacks": "input IN line\noutput IN 10k\nIN > R1 1k > gnd\n",
    "no input": "output OUT 10k\nA > R1 1k > OUT\n",
    "silent": JACKS + "IN > R1 1k > gnd\nOUT > R2 1k > gnd\n",
    "hardly anything": JACKS + "IN > C1 1p > OUT\n",
    "resonance": JACKS + "IN > R1 1 > OUT\nOUT > L1 100m > gnd\nOUT > C1 253n > gnd\n",
}


@pytest.mark.parametrize("text", ODD.values(), ids=ODD)
def test_odd_circuits_are_drawn_or_refused(text: str) -> None:
    found = drawn(read_text(text))
    assert all(bool(one.refusal) != bool(one.plots) for one in found)
    assert all(plot_svg(plot, "a") for one in found for plot in one.plots)
    names = [one.kind.name for one in found if one.plots]
    assert ("response" in names) == (text not in (ODD["no input"], ODD["silent"]))


@pytest.mark.parametrize("settings", [{"REPEATS": 10}, {"REPEATS": 0}, {"LEVEL": 0}, {"TIME": 0}])
def test_knobs_at_their_ends_leave_something_to_draw(settings: dict[str, float | str]) -> None:
    found = drawn(read_text(circuits.text("lantern-echo"), settings=settings), kinds_named(ECHO_KINDS))
    assert [one.kind.name for one in found] == list(ECHO_KINDS)
    assert all(plot_svg(plot, "a") and plot_file(plot) for one in found for plot in one.plots)


def not_known(analysis: Analysis) -> tuple[Plot, ...]:
    raise NotCertified(Certificate(residual_a=1.0, condition=1.0, iterations=1, method="guessing"))


def cannot(analysis: Analysis) -> tuple[Plot, ...]:
    raise CannotPlot("the loop runs away.")


@pytest.mark.parametrize(("build", "said"), [(not_known, "not certified"), (cannot, "runs away")])
def test_what_is_not_known_is_refused_with_its_reason(build: object, said: str) -> None:
    kind = PlotKind(name="any", place=1, title="Any", says="Anything.", build=build)  # type: ignore[arg-type]
    (found,) = drawn(read_text(circuits.text(SMALL)), [kind])
    assert found.plots == () and said in found.refusal
    assert found.refusal in str(plots_document("", (found,), ""))


def test_kinds_are_found_by_name() -> None:
    names = [kind.name for kind in plot_kinds()]
    assert names == [kind.name for kind in kinds_named(())]
    assert [kind.name for kind in kinds_named(("noise", "response"))] == ["response", "noise"]
    with pytest.raises(ValueError, match="did you mean 'repeats'"):
        kinds_named(("repeat",))
