"""How far the supply may sink."""

from pedalwright.analysis.wants._record import Desk, Measured, NotKnown, WantedQuantity


def measure(desk: Desk) -> Measured:
    """The first failing voltage of the battery's rules."""
    # Imported here: few circuits want it, and the search solves the circuit at many voltages.
    from pedalwright.analysis.power.battery import EMPTY_V, battery_life

    life = battery_life(desk.analysis)
    if life is None:
        raise NotKnown("How far the supply may sink is found for one supply of about 9 V only.")
    if life.first is None:
        return Measured(value=EMPTY_V, basis="nothing fails down to there; lower was not tried")
    return Measured(value=life.first.at_v, basis=f"below it {life.first.says}")


WANTED = WantedQuantity(
    name="supply.low",
    title="lowest supply it works at",
    unit="V",
    says="down to where a 9 V supply may sink before something fails that works at 9 V, as `power` tells",
    measure=measure,
)
