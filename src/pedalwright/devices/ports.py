"""The primitives of a circuit's ports: supplies, the signal source, the load."""

from pedalwright.circuit.circuit import GROUND
from pedalwright.circuit.ports import SignalInput, SignalOutput, Supply
from pedalwright.circuit.primitives import Capacitance, Inductance, Primitive, Resistance, VoltageSource
from pedalwright.devices.sources import SourceFigures, source_figures, source_names

INPUT = "input"
OUTPUT_LOAD = "output load"
BATTERY_OHMS = 2.0
"""Internal resistance of a fresh 9 V alkaline battery; ten times that when nearly flat (from memory)."""


def supply_name(supply: Supply) -> str:
    """The name of a supply's voltage source."""
    return f"supply {supply.net}"


def expand_supply(supply: Supply) -> tuple[Primitive, ...]:
    """A wall supply holds its net exactly; a battery stands behind its internal resistance."""
    name = supply_name(supply)
    if supply.source != "battery":
        return (VoltageSource(owner=name, name=name, plus=supply.net, minus=GROUND, dc_v=supply.volts),)
    cell = f"{supply.net}/cell"
    return (
        VoltageSource(owner=name, name=name, plus=cell, minus=GROUND, dc_v=supply.volts),
        Resistance(owner=name, name=f"{name}/internal", a=cell, b=supply.net, ohms=BATTERY_OHMS),
    )


def expand_input(port: SignalInput) -> tuple[Primitive, ...]:
    """The signal source ``input`` behind what the source is made of; silent at rest."""
    figures = _figures_of(port)
    emf, coil = "input/emf", "input/coil"
    after_ohms = coil if figures.henries else port.net
    found: list[Primitive] = [VoltageSource(owner=INPUT, name=INPUT, plus=emf, minus=GROUND, dc_v=0.0)]
    found.append(Resistance(owner=INPUT, name="input/ohms", a=emf, b=after_ohms, ohms=figures.ohms))
    if figures.henries:
        found.append(Inductance(owner=INPUT, name="input/coil", a=coil, b=port.net, henries=figures.henries))
    if figures.volume_ohms is not None:
        found.append(
            Resistance(owner=INPUT, name="input/volume", a=port.net, b=GROUND, ohms=figures.volume_ohms)
        )
    if figures.farads:
        found.append(
            Capacitance(owner=INPUT, name="input/cable", a=port.net, b=GROUND, farads=figures.farads)
        )
    return tuple(found)


def expand_output(port: SignalOutput) -> tuple[Primitive, ...]:
    """The load of what follows."""
    return (Resistance(owner=OUTPUT_LOAD, name=OUTPUT_LOAD, a=port.net, b=GROUND, ohms=port.ohms),)


def _figures_of(port: SignalInput) -> SourceFigures:
    if port.source in source_names():
        return source_figures(port.source)
    # A source of no ohms would pin its net whatever else drives it; a milliohm keeps the arithmetic whole.
    return SourceFigures(name=port.source, ohms=max(port.ohms, 1e-3), level_v=port.level_v)
