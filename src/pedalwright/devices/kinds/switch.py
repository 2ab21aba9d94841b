"""A switch: joins its common pin to the pin of the position it stands at. Foot switches and toggles alike.

`switch MODE short long at long` has the pins MODE.common, MODE.short and MODE.long. With `poles=2` there
are two such sets moved together, written MODEa.common and MODEb.common. A position with nothing on its pin
is an open contact. Cheap foot switches die early: a contact that crackles is cured by replacing, not by
oil.
"""

from pedalwright.circuit.part import Part
from pedalwright.circuit.primitives import Primitive, Short
from pedalwright.devices.device import Device, Pin, Worked
from pedalwright.devices.part_facts import Sentences

COMMON = "common"


def contacts(part: Part) -> tuple[tuple[str, tuple[str, ...]], ...]:
    """The pin prefix of every pole (empty for a single one, else ``a.``, ``b.`` ...) with its positions."""
    found: dict[str, list[str]] = {}
    for pin, _ in part.pins:
        pole, _, contact = pin.rpartition(".")
        found.setdefault(f"{pole}." if pole else "", []).append(contact)
    return tuple((pole, tuple(name for name in names if name != COMMON)) for pole, names in found.items())


def positions(part: Part) -> tuple[str, ...]:
    """The names of the positions, in the order written."""
    return next((names for _, names in contacts(part)), ())


def position(part: Part) -> str:
    """Where the switch stands; the first position when the text does not say."""
    return str(part.setting) if part.setting is not None else positions(part)[0]


def _expand(part: Part) -> tuple[Primitive, ...]:
    stands = position(part)
    return tuple(
        Short(
            owner=part.ref,
            name=part.ref + pole.rstrip("."),
            a=part.net(pole + COMMON),
            b=part.net(pole + stands),
        )
        for pole, _ in contacts(part)
    )


def _check(part: Part) -> tuple[Sentences, ...]:
    names = positions(part)
    if not names:
        what = f"{part.ref} has no positions."
        return ((what, "Every position has a pin named after it.", f"Write switch {part.ref} up down."),)
    if part.setting is not None and part.setting not in names:
        what = f"{part.ref} has no position {part.setting}."
        return ((what, f"Its positions are: {', '.join(names)}.", f"Write at {names[0]}."),)
    return ()


WORKED = (
    Worked(
        text=(
            "supply V 9V wall\n"
            "switch MODE low high at high\n"
            "V > R1 10k > A > R2 10k > gnd\n"
            "A > MODE.common\n"
            "MODE.high > R3 10k > gnd\n"
            "MODE.low > gnd\n"
        ),
        volts={"A": 3.0},
        within_v=1e-06,
        source="Ohm's law: 10 kohm over 5 kohm",
    ),
)

DEVICE = Device(
    kind="switch",
    title="Switch",
    says="joins a common pin to one of several",
    letters=("SW",),
    family="switch",
    pins=(Pin(name="common", says="the moving contact"),),
    expand=_expand,
    check=_check,
    options={"poles": "how many sets of contacts move together, 1 to 4"},
    worked=WORKED,
    page=__doc__ or "",
)
