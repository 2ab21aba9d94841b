"""A single operational amplifier: the difference of its inputs, amplified until feedback makes that
difference vanish.

It cannot move its output quite to its supplies, faster than its slew rate, or with more gain than its
gain-bandwidth product allows; and its inputs take or give a small bias current. Pin numbers differ between
single types: read the sheet of the part in hand.
"""

from pedalwright.devices.kinds._opamp import opamp_device
from pedalwright.devices.kinds._opamp_types import SINGLE

DEVICE = opamp_device(
    kind="opamp",
    title="Single operational amplifier",
    says="one amplifier in a package",
    sections="",
    types=SINGLE,
    numbers={},
    page=__doc__ or "",
)
