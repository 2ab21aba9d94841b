"""What a device hisses of its own, beside what its resistances and junctions must: data for the solver."""

from dataclasses import dataclass


@dataclass(frozen=True, slots=True, kw_only=True)
class OwnNoise:
    """The noise of one primitive, as data sheets state it; densities are those of the flat part.

    `name` is the primitive's. The voltage stands in series with an amplifier's input, or with a regulator's
    output; the current flows into each of an amplifier's inputs, the two without relation. Below its corner a
    density rises as 1/f in power. `source` says where the figures come from.
    """

    name: str
    volts_per_rthz: float
    source: str
    volts_corner_hz: float = 0.0
    amperes_per_rthz: float = 0.0
    amperes_corner_hz: float = 0.0
