"""A germanium point-contact diode: conducts one way at 0.2 to 0.4 V with a soft knee.

A gentle audio clipper. No two are alike, heat changes them, and soldering slowly ruins them: keep the
iron's visit short and clip something cool on the lead. The cards are remembered ones that respect the sheet
limits; measure your own parts before trusting a clipping level to better than 50 mV.
"""

from pedalwright.devices.device import Device, Worked
from pedalwright.devices.kinds._diode import CARD_OPTIONS, check_of, diode_of
from pedalwright.devices.kinds._diode_ratings import GERMANIUM
from pedalwright.devices.part_facts import MEMORY, figures
from pedalwright.devices.ratings import rated
from pedalwright.devices.two_pin import DIODE

TYPES = {
    "1N34A": figures(MEMORY, saturation_a=0.2e-6, emission=1.3, series_ohms=7.0,
                     most_reverse_v=60.0, most_forward_a=0.05),
    "1N60": figures(MEMORY, saturation_a=0.25e-6, emission=1.3, series_ohms=15.0,
                    most_reverse_v=40.0, most_forward_a=0.03),
    "1N270": figures(MEMORY, saturation_a=0.15e-6, emission=1.3, series_ohms=2.4,
                     most_reverse_v=100.0, most_forward_a=0.2),
}  # fmt: skip

WORKED = (
    Worked(
        text=(
            "supply V 9V wall\n"
            "V > R1 1700 > A > D1 1N34A > gnd\n"
        ),
        volts={"A": 0.4},
        within_v=0.2,
        source="a germanium diode conducts 5 mA at 0.2 to 0.6 V; the sheet allows 1 V (from memory)",
    ),
)

DEVICE = Device(
    kind="germanium-diode",
    title="Germanium diode",
    says="conducts one way, at 0.2 to 0.4 V, softly",
    letters=("D",),
    family="diode",
    pins=DIODE,
    types=rated(TYPES, GERMANIUM),
    default_type="1N34A",
    expand=diode_of(TYPES, "1N34A"),
    check=check_of(TYPES),
    options=CARD_OPTIONS,
    worked=WORKED,
    page=__doc__ or "",
)
