"""Numbers in a builder's words, for the sentences of stage kinds."""

from pedalwright.stages.bench import Bench
from pedalwright.stages.branch import Branch, Leaf, Parallel, Series, resistance
from pedalwright.units.values import print_value


def ohms(value: float) -> str:
    """4.7 kΩ."""
    return print_value(value, "Ω")


def farads(value: float) -> str:
    """47 nF."""
    return print_value(value, "F")


def hz(value: float) -> str:
    """34.1 Hz."""
    return print_value(value, "Hz")


def volts(value: float) -> str:
    """4.51 V."""
    return print_value(value, "V")


def times(gain: float) -> str:
    """A gain as a plain ratio and in decibels: 2.14 times (+6.6 dB)."""
    from math import log10

    size = abs(gain)
    if size == 0:
        return "nothing"
    level = f"{20 * log10(size):+.1f}"
    if level in ("+0.0", "-0.0"):
        return f"{size:.3f}".rstrip("0").ljust(4, "0") + " times (0.0 dB)"
    return f"{size:.3g} times ({level} dB)"


def value_of(bench: Bench, ref: str) -> str:
    """A part's value as read aloud: ``4.7 kΩ``, ``47 nF``, a type, or nothing for a section of a package."""
    part = bench.view.circuit.by_ref.get(ref)
    if part is None:
        return ""
    unit = {"resistor": "Ω", "knob": "Ω", "capacitor": "F", "inductor": "H"}.get(bench.view.family[ref])
    if part.value is not None and unit:
        return print_value(part.value, unit)
    return part.type or part.value_text


def named(bench: Bench, ref: str) -> str:
    """A part with its value: ``R5 (4.7 kΩ)``."""
    value = value_of(bench, ref)
    return f"{ref} ({value})" if value else ref


def listed(words: list[str]) -> str:
    """``a``, ``a and b``, ``a, b and c``."""
    if len(words) < 2:
        return "".join(words)
    return f"{', '.join(words[:-1])} and {words[-1]}"


def capacitor_across(branch: Branch) -> Leaf | None:
    """The capacitor that lies across a branch, if one does."""
    if isinstance(branch, Parallel):
        return next((link for link in branch.links if isinstance(link, Leaf) and link.sort == "C"), None)
    return None


def capacitor_in(branch: Branch) -> Leaf | None:
    """The first capacitor of a branch, wherever it stands."""
    return next((leaf for leaf in branch.leaves() if leaf.sort == "C"), None)


def plain_resistance(branch: Branch) -> float:
    """The branch's resistance with its capacitors shorted when they stand in series, open when across."""
    value = resistance(branch)
    if value != float("inf") or isinstance(branch, Leaf):
        return value
    values = [plain_resistance(link) for link in branch.links if not _is_capacitor(link)]
    if isinstance(branch, Series):
        return sum(values)
    conductance = sum(1.0 / value for value in values if value > 0)
    return 1.0 / conductance if conductance else value


def _is_capacitor(branch: Branch) -> bool:
    return isinstance(branch, Leaf) and branch.sort == "C"
