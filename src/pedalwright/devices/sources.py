"""What drives a pedal and what it drives: figures of a magnetic pickup, another pedal, a line output.

Nobody publishes one true pickup; these are middle-of-the-road figures and they are marked so.
"""

from dataclasses import dataclass

from pedalwright.devices.part_facts import MEMORY


@dataclass(frozen=True, slots=True, kw_only=True)
class SourceFigures:
    """A signal source: `ohms` and `henries` in series with it, then `volume_ohms` and `farads` to ground.

    Zero henries, zero farads and None ohms of a volume knob mean: not there. `level_v` is the peak level to
    expect.
    """

    name: str
    ohms: float
    level_v: float
    henries: float = 0.0
    volume_ohms: float | None = None
    farads: float = 0.0
    source: str = MEMORY
    says: str = ""


_SOURCES = (
    SourceFigures(
        name="pickup",
        ohms=7e3,
        henries=3.5,
        volume_ohms=250e3,
        farads=600e-12,
        level_v=0.5,
        source="from memory: 6 to 10 kohm and 3 to 6 H, 250 kohm volume knob full up, 100 pF of winding "
        "and 5 m of cable at 100 pF/m",
        says="a magnetic pickup with its volume knob and cable",
    ),
    SourceFigures(
        name="buffered",
        ohms=1e3,
        level_v=1.0,
        source="from memory: outputs of other pedals lie between 100 ohm and 10 kohm",
        says="another pedal or an active instrument",
    ),
    SourceFigures(
        name="line",
        ohms=150.0,
        level_v=1.736,
        source="level: +4 dBu peak, 1.2277 V rms; 150 ohm from memory",
        says="a line output of a mixer or interface at studio level",
    ),
)


def source_names() -> tuple[str, ...]:
    """The words `input` understands besides plain figures."""
    return tuple(figures.name for figures in _SOURCES)


def source_figures(name: str) -> SourceFigures:
    """The figures of ``pickup``, ``buffered`` or ``line``; KeyError for any other name."""
    for figures in _SOURCES:
        if figures.name == name:
            return figures
    raise KeyError(name)
