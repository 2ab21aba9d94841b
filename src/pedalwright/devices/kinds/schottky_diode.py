"""A Schottky diode: conducts one way at 0.2 to 0.4 V; a cheap polarity guard and a soft clipper.

It leaks backwards far more than silicon, and more when hot. In series with the supply a 1N5817 costs 0.2 to
0.3 V at pedal currents. Its 20 V reverse rating is enough for pedal supplies, not for doubled ones.

Of two 1N5817 cards in circulation only the one used here gives the sheet's 0.42 V at 1 A; the other gives
0.32 V.
"""

from pedalwright.devices.device import Device, Worked
from pedalwright.devices.kinds._diode import CARD_OPTIONS, check_of, diode_of
from pedalwright.devices.kinds._diode_ratings import SCHOTTKY
from pedalwright.devices.part_facts import MEMORY, figures
from pedalwright.devices.ratings import rated
from pedalwright.devices.two_pin import DIODE

TYPES = {
    "1N5817": figures(
        "model card in circulation, agrees with International Rectifier PD-20646",
        saturation_a=31.7e-6, emission=1.373, series_ohms=51e-3,
    ) | figures("International Rectifier PD-20646", most_reverse_v=20.0, most_forward_a=1.0),
    "1N5818": figures(MEMORY, saturation_a=31.7e-6, emission=1.373, series_ohms=85e-3,
                      most_reverse_v=30.0, most_forward_a=1.0),
    "1N5819": figures(MEMORY, saturation_a=31.7e-6, emission=1.373, series_ohms=150e-3,
                      most_reverse_v=40.0, most_forward_a=1.0),
    "BAT41": figures(MEMORY, saturation_a=65e-9, emission=1.05, series_ohms=2.5,
                     most_reverse_v=100.0, most_forward_a=0.1),
    "BAT46": figures(MEMORY, saturation_a=250e-9, emission=1.05, series_ohms=2.4,
                     most_reverse_v=100.0, most_forward_a=0.15),
}  # fmt: skip

WORKED = (
    Worked(
        text=(
            "supply V 9V wall\n"
            "V > R1 1k > A > D1 1N5817 > gnd\n"
        ),
        volts={"A": 0.200375},
        within_v=2e-06,
        source="Banwell and Jayakumar, Electronics Letters 36(4), 2000: closed form, 300.15 K",
    ),
)

DEVICE = Device(
    kind="schottky-diode",
    title="Schottky diode",
    says="conducts one way, at 0.2 to 0.4 V",
    letters=("D",),
    family="diode",
    pins=DIODE,
    types=rated(TYPES, SCHOTTKY),
    default_type="1N5817",
    expand=diode_of(TYPES, "1N5817"),
    check=check_of(TYPES),
    options=CARD_OPTIONS,
    worked=WORKED,
    page=__doc__ or "",
)
