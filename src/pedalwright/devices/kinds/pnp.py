"""A pnp bipolar transistor: the mirror image of an npn; its emitter stands on the positive side.

Germanium types (2N404, 2N1305, AC128) conduct at 0.1 to 0.2 V and leak: with the base open some hundred
microamperes flow, which doubles every ten degrees (common practice, no source). Bias them by trial with a
trim, and measure the collector voltage of the part in hand. `beta=` states a measured gain.
"""

from pedalwright.devices.device import Worked
from pedalwright.devices.kinds._bipolar import bipolar_device
from pedalwright.devices.kinds._transistor import Transistor
from pedalwright.devices.kinds._transistor_ratings import PNP
from pedalwright.devices.part_facts import MEMORY, figures
from pedalwright.devices.ratings import rated

_BC557B = figures(MEMORY, saturation_a=38.34e-15, forward_beta=344.4, reverse_beta=14.84, early_v=21.11,
                  leak_a=12.19e-15, leak_emission=1.528, base_collector_f=6e-12, cutoff_a=0.0)  # fmt: skip
_SWITCH = figures(MEMORY, saturation_a=1e-6, forward_beta=80.0, reverse_beta=5.0, early_v=50.0,
                  leak_a=0.0, leak_emission=1.5, base_collector_f=12e-12, cutoff_a=3e-6)  # fmt: skip
TYPES = {
    "2N3906": figures(
        "Fairchild 2N3906 sheet, 2010 (card printed there)",
        saturation_a=1.41e-15, forward_beta=180.7, reverse_beta=4.977, early_v=18.7,
        leak_a=0.0, leak_emission=1.5, base_collector_f=9.728e-12, cutoff_a=0.0,
    ),
    "2N5087": figures(
        MEMORY, saturation_a=6.734e-15, forward_beta=254.1, reverse_beta=2.683, early_v=45.7,
        leak_a=6.734e-15, leak_emission=1.741, base_collector_f=4e-12, cutoff_a=0.0,
    ),
    "BC557": _BC557B,
    "BC557B": _BC557B,
    "2N404": _SWITCH,
    "2N1305": _SWITCH,
    "AC128": figures(
        MEMORY, saturation_a=2e-6, forward_beta=90.0, reverse_beta=5.0, early_v=50.0,
        leak_a=0.0, leak_emission=1.5, base_collector_f=70e-12, cutoff_a=4e-6,
    ),
}  # fmt: skip

WORKED = (
    Worked(
        text=(
            "supply V 10V wall\n"
            "part Q1 pnp 2N3906 c=C b=B e=E beta=200\n"
            "V > R2 2k2 > B > R1 10k > gnd\n"
            "V > R4 1k > E\n"
            "C > R3 3k6 > gnd\n"
        ),
        volts={"E": 8.9011, "C": 3.917},
        within_v=0.4,
        source="Malvino and Bates, example 8-3, turned over, with the book's base-emitter voltage of 0.7 V",
    ),
)

DEVICE = bipolar_device(
    Transistor(
        kind="pnp",
        title="Bipolar transistor, pnp",
        says="current from emitter to collector, steered by the base",
        polarity=-1,
        types=rated(TYPES, PNP),
        worked=WORKED,
        page=__doc__ or "",
    )
)
