"""A switch: joins its common pin to the pin of the position it stands at. Foot switches and toggles alike.

`switch MODE short long at long` has the pins MODE.common, MODE.short and MODE.long. With `poles=2` there are two such
sets moved together, written MODEa.common and MODEb.common. A position with nothing on its pin is an open contact. Cheap
foot switches die early: a contact that crackles is cured by replacing, not by oil.
"""

from pedalwright.circuit.part import Part
from pedalwright.circuit.primitives import Primitive, Short
from pedalwright.devices.device import Device, Pin
from pedalwright.devices.part_facts import Sentences

MOST_POLES = 4


def positions(part: Part) -> tuple[str, ...]:
    """The names of the positions; the notation keeps them as the part's notes, in the order written."""
    return part.notes


def position(part: Part) -> str:
    """Where the switch stands; the first position when the text does not say."""
    return str(part.setting) if part.setting is not None else positions(part)[0]


def poles(part: Part) -> tuple[str, ...]:
    """Prefixes of the pins: one empty word for a single pole, ``a.``, ``b.`` ... for several."""
    written = part.option("poles", "1")
    count = int(written) if written.isdecimal() else 1
    return ("",) if count <= 1 else tuple(f"{letter}." for letter in "abcd"[:count])


def _pins_of(part: Part) -> tuple[Pin, ...]:
    found: list[Pin] = []
    for pole in poles(part):
        found.append(Pin(name=f"{pole}common", says="the moving contact"))
        found.extend(Pin(name=pole + name, says=f"joined to common at {name}") for name in positions(part))
    return tuple(found)


def _expand(part: Part) -> tuple[Primitive, ...]:
    stands = position(part)
    return tuple(
        Short(
            owner=part.ref,
            name=part.ref if not pole else f"{part.ref}{pole[0]}",
            a=part.net(f"{pole}common"),
            b=part.net(pole + stands),
        )
        for pole in poles(part)
    )


def _check(part: Part) -> tuple[Sentences, ...]:
    found: list[Sentences] = []
    names = positions(part)
    if len(names) < 1 or len(set(names)) < len(names) or "common" in names:
        found.append((f"{part.ref} needs positions with different names.", "Every position has a pin named after it.",
                      f"Write switch {part.ref} up down, for instance."))  # fmt: skip
    if part.setting is not None and part.setting not in names:
        found.append((f"{part.ref} has no position {part.setting}.", f"Its positions are: {', '.join(names)}.",
                      f"Write at {names[0] if names else 'up'}."))  # fmt: skip
    written = part.option("poles", "1")
    if not (written.isdecimal() and 1 <= int(written) <= MOST_POLES):
        found.append((f"{part.ref}: poles={written} is not a number of poles.", f"A switch has 1 to {MOST_POLES} poles.",
                      "Write poles=2, for instance."))  # fmt: skip
    return tuple(found)


DEVICE = Device(
    kind="switch",
    title="Switch",
    says="joins a common pin to one of several",
    letters=("SW",),
    family="switch",
    pins=(Pin(name="common", says="the moving contact"),),
    pins_of=_pins_of,
    expand=_expand,
    check=_check,
    options={"poles": "how many sets of contacts move together, 1 to 4"},
    page=__doc__ or "",
)
