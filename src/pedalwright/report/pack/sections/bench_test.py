"""Section 7: the first switch-on, outside the case: current before voltage, empty sockets first."""

from collections.abc import Iterable
from dataclasses import replace

from pedalwright.analysis.memo import Analysis
from pedalwright.analysis.naming_nets import spoken
from pedalwright.analysis.power import PowerBudget, Rail, Spread, budget
from pedalwright.devices.catalogue import device
from pedalwright.report.blocks import Block, Paragraph, Section, Steps, Table, Tone
from pedalwright.report.figures import figure
from pedalwright.report.pack.dossier import Dossier
from pedalwright.report.pack.section import Chapter, PackSection, chapter
from pedalwright.report.power_sentences import current, seconds

SOCKETED = ("opamp", "echo-chip")
STOP = "If it is more, switch off at once and look for a bridge, a reversed part or a wrong supply."


def build(dossier: Dossier) -> Chapter:
    """Steps in order; nothing for a circuit that takes no supply."""
    if not dossier.circuit.supplies:
        return chapter()
    return chapter([Steps(tuple(_steps(dossier)))], list(_tables(dossier)))


def _steps(dossier: Dossier) -> Iterable[str]:
    yield (
        "Before any power: with the ohmmeter between each supply wire and ground, no lasting beep; a short "
        "one while capacitors charge is right. Compare every plus end and every ring with the schematic "
        "once more."
    )
    yield (
        "Use a bench supply with its current limit a little above the figures below, or put 100 Ω in the "
        "supply wire for the first seconds."
    )
    yield from _empty(dossier)
    yield from _drawing(dossier, "With everything in place")
    yield from _waiting(dossier)
    yield "Only then the voltages of the next section, a tone at the input, and the amplifier turned low."


def _empty(dossier: Dossier) -> Iterable[str]:
    """What it draws with the chips out of their sockets, solved on the circuit without them."""
    chips = [part.ref for part in dossier.circuit.parts if device(part.kind).family in SOCKETED]
    if not chips:
        return
    bare = _without(dossier.analysis, chips)
    found = budget(bare)
    amps = found.supply_a
    told = "" if found.refusals or not amps else f" it draws {_window(amps[0][1])}. {STOP}"
    yield (f"Chips out ({', '.join(chips)}): switch on." + (f" From {amps[0][0]}{told}" if told else ""))
    rails = ", ".join(_bare_rails(dossier, bare, found))
    if rails and told:
        yield f"Still without them, measure the rails at the sockets: {rails}."
        yield "Power off, wait until the rails have fallen, and put the chips in the right way round."


def _bare_rails(dossier: Dossier, bare: Analysis, found: PowerBudget) -> Iterable[str]:
    """Every rail of the whole circuit, as it stands without its chips."""
    for rail in dossier.budget.rails:
        if not rail.feeds:
            continue
        alone = found.rail(rail.net)
        if alone is not None:
            yield f"{spoken(rail.net)} {_range(alone.volts)}"
        elif bare.rest.certificate.ok and rail.net in bare.rest.voltages:
            yield f"{spoken(rail.net)} {bare.rest.volts(rail.net):.2f} V"


def _without(analysis: Analysis, refs: list[str]) -> Analysis:
    kept = tuple(part for part in analysis.circuit.parts if part.ref not in refs)
    return Analysis(replace(analysis.circuit, parts=kept), analysis.text)


def _drawing(dossier: Dossier, when: str) -> Iterable[str]:
    for net, amps in dossier.budget.supply_a:
        yield f"{when}, {spoken(net)} gives {_window(amps)}, {current(amps.typical)} typically. {STOP}"


def _waiting(dossier: Dossier) -> Iterable[str]:
    slowest = max((one.within_1_s for one in dossier.settling if one.within_1_s is not None), default=None)
    if slowest is not None:
        yield f"Wait {seconds(slowest)} after switching on: the slowest resting voltage is then within 1 %."


def _tables(dossier: Dossier) -> Iterable[Section]:
    rails = [rail for rail in dossier.budget.rails if rail.amps.most > 0]
    if not rails:
        return
    table = Table(
        caption="Rails with everything in place, knobs as in this document",
        columns=("rail", "voltage", "least", "typical", "most"),
        rows=tuple(_rail_row(rail) for rail in rails),
        figures=(2, 3, 4),
    )
    blocks: list[Block] = [table]
    blocks += [Paragraph(said, Tone.DOUBT) for said in dossier.budget.refusals]
    yield Section(anchor="bench-rails", heading="What the rails carry", blocks=tuple(blocks))


def _rail_row(rail: Rail) -> tuple[str, ...]:
    amps = rail.amps
    return (
        spoken(rail.net),
        _range(rail.volts),
        *(figure(value, "A") for value in (amps.least, amps.typical, amps.most)),
    )


def _window(amps: Spread) -> str:
    return f"{current(amps.least)} to {current(amps.most)}"


def _range(volts: Spread) -> str:
    low, high = f"{min(volts.least, volts.most):.2f}", f"{max(volts.least, volts.most):.2f}"
    return f"{low} V" if low == high else f"{low} to {high} V"


SECTION = PackSection(name="bench-test", place=7, heading="First switch-on, outside the case", build=build)
