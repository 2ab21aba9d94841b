"""Under which conditions a table of voltages holds, in sentences."""

from collections.abc import Iterable

from pedalwright.analysis.memo import Analysis
from pedalwright.analysis.naming_nets import spoken
from pedalwright.analysis.voltages.meter import Metered
from pedalwright.analysis.voltages.records import SupplyUsed, VoltageTable
from pedalwright.devices.catalogue import device
from pedalwright.units.values import print_value

ROOM = "No signal, at room temperature, and with the knobs as they stand."
PARTS = "Resistors 1 % and tracks 20 % either way unless the text says otherwise, regulators 4 %"


def conditions(analysis: Analysis, table: VoltageTable, used: int, metered: Metered) -> tuple[str, ...]:
    """The sentences, in the order of their weight."""
    return tuple(_conditions(analysis, table, used, metered))


def _conditions(analysis: Analysis, table: VoltageTable, used: int, metered: Metered) -> Iterable[str]:
    kept = f", of which {used} could be certified and count" if used < table.asked else ""
    yield (
        f"Low and high are the lowest and the highest of {table.asked} builds (seed {table.seed}){kept}; "
        "typical is the circuit as written."
    )
    for supply in table.supplies:
        yield _of_supply(supply)
    for net, volts in table.measured.items():
        if net not in {supply.net for supply in table.supplies}:
            yield f"{spoken(net)} is put at the {volts:g} V that were measured."
    yield f"{PARTS}{_others(analysis)}; all of one build together, on one supply."
    yield _of_meter(table.meter_ohms)
    if names := _probed(analysis, metered.solved):
        yield f"Solved with the meter in every build, because the circuit bends there: {names}."
    if names := _probed(analysis, metered.doubtful):
        yield f"The meter's load is only estimated, because the circuit bends there: {names}."
    yield ROOM


def _probed(analysis: Analysis, rows: tuple[int, ...]) -> str:
    """The nets of some rows; a diode's own inner node is nowhere a probe can go."""
    names = (spoken(analysis.system.unknowns[row]) for row in rows)
    return ", ".join(name for name in names if "/" not in name)


def _of_supply(supply: SupplyUsed) -> str:
    if supply.measured_v is not None:
        return f"{spoken(supply.net)} is put at the {supply.measured_v:g} V that were measured."
    ends = f"{supply.low_v:.3g} V to {supply.high_v:.3g} V"
    return (
        f"{spoken(supply.net)} ({supply.source}) lies anywhere from {ends}; give the voltage measured there "
        f"(--measured {spoken(supply.net)}=...) and the bands close up."
    )


def _others(analysis: Analysis) -> str:
    families = {device(part.kind).family for part in analysis.circuit.parts}
    found = []
    if "opamp" in families:
        found.append("amplifiers' offsets up to their sheets' largest")
    if "bipolar" in families:
        found.append("transistors' gain and forward voltage as types spread")
    if "fet" in families:
        found.append("field-effect transistors over their sheets' limits")
    if "echo-chip" in families:
        found.append("the echo chip's half supply 2 %")
    return "".join(f", {one}" for one in found)


def _of_meter(ohms: float) -> str:
    if ohms == float("inf"):
        return "A meter that takes no current."
    return f"A meter of {print_value(ohms, 'Ω')}, on one place at a time."
