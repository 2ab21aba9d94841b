"""What the pedal draws."""

from pedalwright.analysis.wants._record import Desk, Measured, NotKnown, WantedQuantity


def measure(desk: Desk) -> Measured:
    """The sum over all supplies at rest."""
    if not desk.analysis.rest.certificate.ok:
        raise NotKnown("The resting voltages could not be certified.")
    drawn = desk.overall.supply_a
    if not drawn:
        raise NotKnown("The circuit has no supply.")
    return Measured(
        value=sum(amperes for _, amperes in drawn),
        basis="all supplies, typical parts, no signal, as it stands",
    )


WANTED = WantedQuantity(
    name="current",
    title="supply current",
    unit="A",
    says="what all supplies give together, typical parts, no signal",
    measure=measure,
)
