"""Maximum ratings under names that are alike for every kind of part, and what is usual where no sheet speaks.

Names of figures: `most_w` (heat in free air at 25 degrees C), `k_per_w` (junction to ambient, free air),
`most_junction_c`, `most_reverse_v`, `most_forward_a`, `surge_a` (one half-wave of the mains, not repeated),
`most_collector_v`, `most_collector_a`, `most_base_reverse_v`, `most_drain_v`, `most_drain_a`, `most_gate_v`,
`most_input_v`, `most_a`, `destructive_supply_v` (absolute maximum between the supply pins), `most_supply_a`.
An absolute maximum is a line not to cross, not a place to work at.
"""

from collections.abc import Mapping

from pedalwright.devices.device import Figure

Types = Mapping[str, Mapping[str, Figure]]


def rated(types: Types, ratings: Types) -> dict[str, dict[str, Figure]]:
    """Every type with its ratings behind its card; the card's own figure goes before a rating of that name.

    Raises KeyError for ratings of a type that is not there.
    """
    strangers = set(ratings) - set(types)
    if strangers:
        raise KeyError(min(strangers))
    return {name: {**ratings.get(name, {}), **card} for name, card in types.items()}
