"""What might help against one contributor: changes to parts on sale, to be tried on the circuit."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace

from pedalwright.analysis.memo import Analysis
from pedalwright.analysis.noise.bench import NoiseBench
from pedalwright.analysis.noise.contributors import package_of
from pedalwright.analysis.noise.records import Contributor
from pedalwright.analysis.steps import written
from pedalwright.circuit.circuit import Circuit
from pedalwright.circuit.part import Part
from pedalwright.devices.catalogue import device
from pedalwright.devices.device import Figure
from pedalwright.units.preferred import Series, nearest_by_ratio

HALF, DOUBLE = 0.5, 2.0
TRACKS = (1.0, 2.5, 5.0, 10.0)
"""ohms of tracks on sale, times powers of ten (common practice, no source)"""
MOST_PARTNERS = 8
SCALED = {"resistor": 1.0, "knob": 1.0, "trim": 1.0, "capacitor": -1.0, "inductor": 1.0}
"""how a value goes with the resistance level of its network"""
LEAST_OHMS, MOST_OHMS = 100.0, 10e6
"""a resistor of the sound is not tried outside these"""


@dataclass(frozen=True, slots=True, kw_only=True)
class Trial:
    """Some parts replaced; `lone` when a resistance is changed without its partners."""

    parts: Mapping[str, Part]
    lone: bool = False

    def changes(self, analysis: Analysis) -> tuple[tuple[str, str, str], ...]:
        """(designator, as it is, as tried), in the order of the text."""
        known = analysis.circuit.by_ref
        return tuple(
            (ref, _written(known[ref]), _written(part))
            for ref, part in sorted(self.parts.items(), key=lambda pair: list(known).index(pair[0]))
        )


def _written(part: Part) -> str:
    return part.type or (written(part, part.value) if part.value is not None else part.value_text)


def trials_against(bench: NoiseBench, against: Contributor) -> tuple[Trial, ...]:
    """Changes worth trying against a contributor; none for what is no part of the pedal, nor for an echo
    chip.
    """
    analysis = bench.analysis
    ref = package_of(analysis.circuit, against.ref) or against.ref
    part = analysis.circuit.by_ref.get(ref)
    if part is None:
        return ()
    if part.kind in ("resistor", "knob", "trim"):
        return tuple(_scalings(bench, part))
    if device(part.kind).family in ("opamp", "bipolar", "fet"):
        return tuple(_other_types(bench, part))
    return ()


def _scalings(bench: NoiseBench, part: Part) -> Iterable[Trial]:
    group = partners(bench, part)
    for factor in (HALF, DOUBLE):
        scaled = {one.ref: _scaled(one, factor) for one in group}
        if len(group) > 1 and all(scaled.values()):
            yield Trial(parts={ref: one for ref, one in scaled.items() if one is not None})
        alone = _scaled(part, factor)
        if alone is not None:
            yield Trial(parts={part.ref: alone}, lone=True)


def _scaled(part: Part, factor: float) -> Part | None:
    """A part of another resistance level, of a value that is sold; None where there is none in reason."""
    if part.value is None or part.value <= 0:
        return None
    wanted = part.value * factor ** SCALED[part.kind]
    if part.kind in ("knob", "trim"):
        value = _track(wanted, smaller=wanted < part.value)
    else:
        value = nearest_by_ratio(wanted, Series.E12 if part.kind == "capacitor" else Series.E24)
    if part.kind != "capacitor" and not LEAST_OHMS <= value <= MOST_OHMS:
        return None
    return replace(part, value=value, value_text="") if value != part.value else None


def _track(ohms: float, *, smaller: bool) -> float:
    """The track on sale nearest to one."""
    power = 1.0
    while power * 10.0 <= ohms:
        power *= 10.0
    return min((power * track for track in TRACKS), key=lambda one: max(one / ohms, ohms / one))


def partners(bench: NoiseBench, part: Part) -> tuple[Part, ...]:
    """The parts whose values must go together with one so that the gain stays: all resistors and capacitors
    around the nets it shares with them, as far as the next net that something holds.

    The part alone when a diode or something else is among what it leads to, or when there are too many.
    """
    circuit, held = bench.analysis.circuit, _held(bench)
    found, pending, met = {part.ref: part}, [net for net in part.nets if net not in held], set(held)
    while pending:
        net = pending.pop()
        if net in met:
            continue
        met.add(net)
        for pin in circuit.pins_on.get(net, ()):
            other = pin.part
            if other.kind in SCALED:
                found[other.ref] = other
                pending += [far for far in other.nets if far not in met]
            elif not _only_listens(other):
                return (part,)
        if len(found) > MOST_PARTNERS:
            return (part,)
    return tuple(found.values())


def _only_listens(part: Part) -> bool:
    """Whether a part draws no signal current where nothing holds the net: an amplifier's input, a base or a
    gate.
    """
    return device(part.kind).family in ("opamp", "echo-chip", "jack", "bipolar", "fet")


def _held(bench: NoiseBench) -> frozenset[str]:
    """Where a network of equal impedance level ends: ground, rails, bias, the jacks, amplifier outputs, and
    all of a transistor but its base or gate.
    """
    analysis = bench.analysis
    classes, circuit = analysis.bench.classes, analysis.circuit
    outputs = {unit.output for part in circuit.parts for unit in device(part.kind).amplifiers(part)}
    jacks = {port.net for port in (circuit.input, circuit.output) if port is not None}
    ends = {
        net
        for part in circuit.parts
        if device(part.kind).family in ("bipolar", "fet")
        for pin, net in part.pins
        if pin not in ("b", "g")
    }
    return frozenset({*classes.still, *outputs, *jacks, *ends})


def _other_types(bench: NoiseBench, part: Part) -> Iterable[Trial]:
    """Every other type of the same kind that works at the supply as it is; none for a part whose own figures
    were measured.
    """
    entry = device(part.kind)
    now = entry.types[part.type or entry.default_type]
    volts = _supply_v(bench, part)
    # Some types are one die under two numbers.
    unlike: list[Mapping[str, Figure]] = [now]
    for name, figures in entry.types.items():
        if part.options or figures in unlike or _is_germanium(figures) != _is_germanium(now):
            continue
        unlike.append(figures)
        if volts is None or figures["least_supply_v"].value <= volts <= figures["most_supply_v"].value:
            yield Trial(parts={part.ref: replace(part, type=name)})


def _is_germanium(figures: Mapping[str, Figure]) -> bool:
    """Only germanium transistors come with a leakage worth a figure."""
    return "cutoff_a" in figures and figures["cutoff_a"].value > 0.0


def _supply_v(bench: NoiseBench, part: Part) -> float | None:
    """What an amplifier's supply pins stand apart; None for what has no such pins."""
    pins = dict(part.pins)
    if "v+" not in pins or "v-" not in pins:
        return None
    rest = bench.analysis.rest
    return rest.volts(pins["v+"]) - rest.volts(pins["v-"])


def is_amplifier(circuit: Circuit, trial: Trial) -> bool:
    """Whether a trial puts another amplifier into its socket."""
    return any(device(circuit.by_ref[ref].kind).family == "opamp" for ref in trial.parts)
