"""An npn bipolar transistor: a small base current steers a large collector current.

It boosts, buffers and switches. The base stands about 0.65 V above the emitter (0.1 to 0.2 V in germanium).
Current gain differs by three to one between parts of one type, so a sound circuit does not depend on it;
`beta=` states the gain of the part in hand, `saturation=` and `early=` the rest of its card. Lead order
differs between makers and regions even for one number: check the sheet before soldering.

Cards printed by makers are used where one exists; the fall of gain at high current is not modelled.
"""

from pedalwright.devices.device import Worked
from pedalwright.devices.kinds._bipolar import bipolar_device
from pedalwright.devices.kinds._transistor import Transistor
from pedalwright.devices.kinds._transistor_ratings import NPN
from pedalwright.devices.part_facts import MEMORY, figures
from pedalwright.devices.ratings import rated

_BC547C = figures(MEMORY, saturation_a=46.79e-15, forward_beta=458.7, reverse_beta=11.57, early_v=52.64,
                  leak_a=2.642e-15, leak_emission=1.581, base_collector_f=4e-12, cutoff_a=0.0)  # fmt: skip
_BC547B = figures(MEMORY, saturation_a=23.9e-15, forward_beta=294.3, reverse_beta=7.946, early_v=63.2,
                  leak_a=3.545e-15, leak_emission=1.541, base_collector_f=4e-12, cutoff_a=0.0)  # fmt: skip
TYPES = {
    "2N3904": figures(
        "Fairchild 2N3904 sheet, 2001 (card printed there; Ise with the femto its misprint dropped)",
        saturation_a=6.734e-15, forward_beta=416.4, reverse_beta=0.7371, early_v=74.03,
        leak_a=6.734e-15, leak_emission=1.259, base_collector_f=3.638e-12, cutoff_a=0.0,
    ),
    "2N5088": figures(
        "ON Semiconductor 2N5088/D card, seen in a copy",
        saturation_a=5.911e-15, forward_beta=1122.0, reverse_beta=1.271, early_v=62.37,
        leak_a=5.911e-15, leak_emission=1.394, base_collector_f=4.017e-12, cutoff_a=0.0,
    ),
    "2N2222": figures(
        MEMORY, saturation_a=14.34e-15, forward_beta=255.9, reverse_beta=6.092, early_v=74.03,
        leak_a=14.34e-15, leak_emission=1.307, base_collector_f=7.3e-12, cutoff_a=0.0,
    ),
    "BC547": _BC547B,
    "BC547B": _BC547B,
    "BC547C": _BC547C,
    "BC549": _BC547C,
    "BC549C": _BC547C,
    "2N1304": figures(
        MEMORY, saturation_a=1e-6, forward_beta=80.0, reverse_beta=5.0, early_v=50.0,
        leak_a=0.0, leak_emission=1.5, base_collector_f=12e-12, cutoff_a=3e-6,
    ),
    "AC127": figures(
        MEMORY, saturation_a=2e-6, forward_beta=100.0, reverse_beta=5.0, early_v=50.0,
        leak_a=0.0, leak_emission=1.5, base_collector_f=70e-12, cutoff_a=4e-6,
    ),
}  # fmt: skip

WORKED = (
    Worked(
        text=(
            "supply V 10V wall\n"
            "part Q1 npn 2N3904 c=C b=B e=E beta=200\n"
            "V > R1 10k > B > R2 2k2 > gnd\n"
            "V > R3 3k6 > C\n"
            "E > R4 1k > gnd\n"
        ),
        volts={"E": 1.0989, "C": 6.083},
        within_v=0.3,
        source="Malvino and Bates, example 8-3, with the book's base-emitter voltage of 0.7 V",
    ),
    Worked(
        text=(
            "supply V 22V wall\n"
            "part Q1 npn 2N3904 c=C b=B e=E beta=90\n"
            "V > R1 56k > B > R2 8k2 > gnd\n"
            "V > R3 6k8 > C\n"
            "E > R4 1k5 > gnd\n"
        ),
        volts={"E": 2.005, "C": 13.01},
        within_v=0.6,
        source="Boylestad and Nashelsky, example 5.2, with the book's base-emitter voltage of 0.7 V",
    ),
)

DEVICE = bipolar_device(
    Transistor(
        kind="npn",
        title="Bipolar transistor, npn",
        says="current from collector to emitter, steered by the base",
        polarity=1,
        types=rated(TYPES, NPN),
        worked=WORKED,
        page=__doc__ or "",
    )
)
