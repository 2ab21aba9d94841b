"""The supply of the echo chip."""

from pedalwright.analysis.wants._record import Desk, Measured, WantedQuantity


def measure(desk: Desk) -> Measured:
    """Of the chip that has the least."""
    state = min(desk.states, key=lambda one: one.supply_v)
    return Measured(value=state.supply_v, basis=f"{state.ref}, between pins 1 and 4, supply as written")


WANTED = WantedQuantity(
    name="chip.supply",
    title="supply of the echo chip",
    unit="V",
    says="between pins 1 and 4 of the chip that has the least",
    measure=measure,
)
