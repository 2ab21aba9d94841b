"""Section 14: from what is heard to what to measure, with this circuit's own figures."""

from collections.abc import Iterable, Mapping
from dataclasses import replace
from itertools import combinations

from pedalwright.analysis.naming_nets import spoken
from pedalwright.circuit.circuit import GROUND
from pedalwright.circuit.part import Part
from pedalwright.devices.catalogue import device
from pedalwright.report.blocks import Block, Facts, Paragraph, Points, Section, Table
from pedalwright.report.figures import figure
from pedalwright.report.pack.buying import GROUP_OF_FAMILY, OTHER, value_of
from pedalwright.report.pack.dossier import Dossier
from pedalwright.report.pack.section import Chapter, PackSection, chapter
from pedalwright.report.power_sentences import current
from pedalwright.report.voltages_document import voltages_document
from pedalwright.report.walk_document import reading_order

PACKAGES = ("opamp", "echo-chip")
MOST_SLIPS = 12


def build(dossier: Dossier) -> Chapter:
    """Symptoms, wrong readings, beeps, slips of this board, and what to send when asking for help."""
    return chapter(
        [
            Paragraph(
                "Nine faults in ten are joints, bridges and parts in the wrong place (common practice, no "
                "source). Look before you measure, measure before you change anything, and change one "
                "thing at a time."
            )
        ],
        [
            Section(
                anchor="faults-symptoms",
                heading="By what you hear",
                blocks=(Facts(tuple(_symptoms(dossier))),),
            ),
            *_wrong(dossier),
            *_beeps(dossier),
            *_slips(dossier),
            _help(dossier),
        ],
    )


def _symptoms(dossier: Dossier) -> Iterable[tuple[str, str]]:
    jacks = [port.net for port in (dossier.circuit.input, dossier.circuit.output) if port is not None]
    yield (
        "nothing at all",
        (
            f"{_supply_check(dossier)} Then the audio probe from "
            f"{spoken(jacks[0]) if jacks else 'the input'} on."
        ),
    )
    yield (
        "works on the bench, not in the case",
        (
            "Something touches the metal: check the jacks' wiring and the legs under the board for shorts to "
            "the case."
        ),
    )
    yield from _echo_symptoms(dossier)
    rails = ", ".join(spoken(rail.net) for rail in dossier.budget.rails if rail.feeds)
    if rails:
        yield (
            "hum or whine",
            f"Measure {rails} and look at the joints of their capacitors; try a battery or another adaptor.",
        )
    yield (
        "quiet or thin",
        (
            "Follow the audio probe: the level falls at the stage before the fault. Then look for a decade "
            "slip below."
        ),
    )
    yield (
        "distorted",
        (
            "Compare the resting voltages of the stages first: one that does not rest in its band clips too "
            "soon."
        ),
    )


def _supply_check(dossier: Dossier) -> str:
    if not dossier.budget.supply_a:
        return "It takes no supply: look at joints and jacks first."
    net, amps = dossier.budget.supply_a[0]
    return (
        f"Current from {spoken(net)}: {current(amps.least)} to {current(amps.most)} is right; none means no "
        "supply, much more a short."
    )


def _echo_symptoms(dossier: Dossier) -> Iterable[tuple[str, str]]:
    for chip in dossier.echo.chips if dossier.echo is not None else ():
        ref, state = chip.state.ref, chip.state
        yield (
            f"dry sound but no echo from {ref}",
            (
                f"Its supply, pin 1, should be {figure(state.supply_v, 'V')}. Pin 5 should read about half "
                "of that (the clock); at 0 or at the supply the clock stands still: look for a bridge "
                "between pins 5 and 6, and for less than 1 kΩ from pin 6 to ground. Here pin 6 sees "
                f"{figure(state.time_ohms, 'ohm')}."
            ),
        )
        yield (
            f"echo of {ref} too long, too short or fixed",
            (
                f"With the knobs as in this document it comes after {figure(state.delay_s, 's')} "
                f"({figure(state.low_s, 's')} to {figure(state.high_s, 's')} with other chips). Measure pin "
                "6 while the knob turns; it must move."
            ),
        )


def _wrong(dossier: Dossier) -> Iterable[Section]:
    if not dossier.circuit.supplies or dossier.voltages.refusals:
        return
    for section in voltages_document(dossier.voltages).sections:
        if section.anchor == "wrong":
            yield replace(section, anchor="faults-readings", heading="By what the meter reads")


def _beeps(dossier: Dossier) -> Iterable[Section]:
    must = tuple(_joined(dossier))
    rows = tuple(_neighbours(dossier))
    blocks: list[Block] = [
        Paragraph(
            "Power off, capacitors empty, chips out of their sockets; the continuity tester beeps where it "
            "should."
        ),
        Points(must),
    ]
    table = Table(caption="Neighbouring pins that must not beep", columns=("chip", "pins"), rows=rows)
    yield Section(
        anchor="faults-beeps",
        heading="Continuity",
        blocks=(*blocks, *((table,) if rows else ())),
    )


def _joined(dossier: Dossier) -> Iterable[str]:
    """Nets of several pins worth a beep: ground, rails, and what reaches the jacks."""
    classes = dossier.analysis.bench.classes
    for net, pins in dossier.circuit.pins_on.items():
        if (net == GROUND or net in classes.rails) and len(pins) > 1:
            named = sorted((f"{one.part.ref}.{one.pin}" for one in pins), key=reading_order)
            yield f"{spoken(net)}: {', '.join(named)} all beep against each other."
    for supply in dossier.circuit.supplies:
        yield f"{spoken(supply.net)} and ground: no lasting beep."


def _neighbours(dossier: Dossier) -> Iterable[tuple[str, str]]:
    for part in dossier.circuit.parts:
        if device(part.kind).family not in PACKAGES:
            continue
        nets = _by_number(part)
        apart = [
            f"{low}-{low + 1}"
            for low in sorted(nets)
            if low + 1 in nets and nets[low] != nets[low + 1] and low != max(nets) // 2
        ]
        if apart:
            yield part.ref, ", ".join(apart)


def _by_number(part: Part) -> Mapping[int, str]:
    """The net of every pin by its place on the package."""
    found: dict[int, str] = {}
    for pin in device(part.kind).pins_for(part):
        number = next((int(word) for word in (pin.name, *pin.aliases) if word.isdigit()), None)
        if number is not None:
            found[number] = part.net(pin.name)
    return found


def _slips(dossier: Dossier) -> Iterable[Section]:
    """Values on this board that differ by a decade only: the ones that are mixed up."""
    rows = []
    for kind in ("resistor", "capacitor"):
        holders: dict[float, list[Part]] = {}
        for part in dossier.circuit.parts:
            if part.kind == kind and part.value:
                holders.setdefault(part.value, []).append(part)
        for low, high in combinations(sorted(holders), 2):
            if _decades_apart(low, high):
                rows.append((_named(holders[low]), _named(holders[high]), f"{high / low:.0f} times"))
    if rows:
        text = "These differ by whole decades only: one band or one digit tells them apart."
        table = Table(
            caption="Easily mixed up", columns=("smaller", "larger", "apart"), rows=tuple(rows[:MOST_SLIPS])
        )
        yield Section(
            anchor="faults-slips", heading="Easily mixed up on this board", blocks=(Paragraph(text), table)
        )


def _decades_apart(low: float, high: float) -> bool:
    ratio = high / low
    return any(abs(ratio / decade - 1) < 1e-6 for decade in (10.0, 100.0))


def _named(parts: list[Part]) -> str:
    value = value_of(parts[0], GROUP_OF_FAMILY.get(device(parts[0].kind).family, OTHER))
    return f"{value}: {', '.join(sorted((part.ref for part in parts), key=reading_order))}"


def _help(dossier: Dossier) -> Section:
    lines = (
        f"Which pedal: {dossier.circuit.title or 'without a name'}, revision {dossier.revision}.",
        "What it does, and what it should do, in one sentence each; since when.",
        "Supply: what it is, what it reads at the board, and the current it gives.",
        f"Every reading of the voltage tables, as a list: {_example(dossier)}.",
        "How far the sound gets with the audio probe.",
        "Pictures of both sides of the board, in daylight, and of the wiring in the case.",
        "What you have already tried and what it changed.",
    )
    return Section(anchor="faults-help", heading="Asking for help", blocks=(Points(lines),))


def _example(dossier: Dossier) -> str:
    """Two readings as they are written down, of places that this circuit has, at their typical values."""
    rows = dossier.voltages.rows if dossier.circuit.supplies else ()
    known = [(row.place.key, row.expected.typical_v) for row in rows if row.expected.typical_v is not None]
    told = [f"{key}={volts:.2f}" for key, volts in known[:2]]
    return " ".join((*told, "and so on")) if told else "place=volts"


SECTION = PackSection(name="troubleshooting", place=14, heading="Troubleshooting", build=build)
