"""The delay with the knobs as they stand."""

from math import isfinite

from pedalwright.analysis.wants._record import Desk, Measured, NotKnown, WantedQuantity


def measure(desk: Desk) -> Measured:
    """Of the first chip in the text."""
    state = desk.states[0]
    if not isfinite(state.delay_s):
        raise NotKnown(f"The clock of {state.ref} stands still.")
    several = f"{state.ref}, " if len(desk.states) > 1 else ""
    return Measured(value=state.delay_s, basis=f"{several}typical chip, knobs as they stand")


WANTED = WantedQuantity(
    name="delay",
    title="delay",
    unit="s",
    says="the delay with the knobs as they stand, of the first chip in the text",
    measure=measure,
)
