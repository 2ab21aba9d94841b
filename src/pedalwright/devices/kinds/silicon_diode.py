"""A silicon diode: conducts one way, at about 0.6 V; clips audio, guards supplies, steers switches.

The small-signal types (1N4148, 1N914) clip and steer; the one-ampere types (1N4001 to 1N4007) carry supply
current. In series with the supply it costs 0.6 to 0.8 V; across the supply it turns a reversed adaptor into
a short, so a series resistor or fuse belongs before it.

Cards: model parameters in circulation, not data-sheet values; the sheets' forward voltages check them.
A part that was measured is written with its own card: `D1 1N4148 (saturation=4.352nA, emission=1.906,
series=0.6458)`. Junction capacitance (4 pF at most for the small types) does nothing at audio frequencies
and is left out.
"""

from pedalwright.devices.device import Device, Figure, Worked
from pedalwright.devices.kinds._diode import CARD_OPTIONS, check_of, diode_of
from pedalwright.devices.kinds._diode_ratings import SILICON
from pedalwright.devices.part_facts import MEMORY, figures
from pedalwright.devices.ratings import rated
from pedalwright.devices.two_pin import DIODE

_SMALL_CARD = figures(
    "model card in circulation (another has 4.352 nA, 1.906, 0.6458 ohm)",
    saturation_a=2.52e-9,
    emission=1.752,
    series_ohms=0.568,
)
_POWER_CARD = figures(
    "1N4001 model card in circulation; its sisters differ in reverse voltage only",
    saturation_a=14.11e-9,
    emission=1.984,
    series_ohms=33.89e-3,
)
_REVERSE_V = {
    "1N4001": 50.0,
    "1N4002": 100.0,
    "1N4003": 200.0,
    "1N4004": 400.0,
    "1N4005": 600.0,
    "1N4006": 800.0,
    "1N4007": 1000.0,
}


def _power_type(name: str) -> dict[str, Figure]:
    source = "Fairchild 1N4001 sheet, 2014" if name == "1N4001" else MEMORY
    return _POWER_CARD | figures(source, most_reverse_v=_REVERSE_V[name], most_forward_a=1.0)


_SMALL_TYPE = _SMALL_CARD | figures("Vishay 81857 rev 1.3", most_reverse_v=75.0, most_forward_a=0.15)
TYPES = {
    "1N4148": _SMALL_TYPE,
    "1N914": _SMALL_TYPE,
    "1N4448": _SMALL_TYPE,
    **{name: _power_type(name) for name in _REVERSE_V},
}

WORKED = (
    Worked(
        text=(
            "supply V 9V wall\n"
            "V > R1 1k > A > D1 1N4148 (saturation=4.352nA, emission=1.906, series=0.6458) > gnd\n"
        ),
        volts={"A": 0.718153},
        within_v=2e-06,
        source="Banwell and Jayakumar, Electronics Letters 36(4), 2000: closed form, 300.15 K",
    ),
    Worked(
        text=(
            "supply V 9V wall\n"
            "V > R1 1k > A > D1 1N4148 > gnd\n"
            "V > R2 10k > B > D2 1N914 > gnd\n"
            "V > R3 1k > C > D3 1N4001 > gnd\n"
        ),
        volts={"A": 0.684876, "B": 0.576874, "C": 0.68212},
        within_v=2e-06,
        source="Banwell and Jayakumar, Electronics Letters 36(4), 2000: closed form, 300.15 K",
    ),
    Worked(
        text=(
            "supply V 4.5V wall\n"
            "V > R1 100k > A > D1 1N4148 > gnd\n"
        ),
        volts={"A": 0.439019},
        within_v=2e-06,
        source="Banwell and Jayakumar, Electronics Letters 36(4), 2000: closed form, 300.15 K",
    ),
)

DEVICE = Device(
    kind="silicon-diode",
    title="Silicon diode",
    says="conducts one way, at about 0.6 V",
    letters=("D",),
    family="diode",
    pins=DIODE,
    types=rated(TYPES, SILICON),
    default_type="1N4148",
    expand=diode_of(TYPES, "1N4148"),
    check=check_of(TYPES),
    options=CARD_OPTIONS,
    worked=WORKED,
    page=__doc__ or "",
)
