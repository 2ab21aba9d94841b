"""The ends of the delay of all chips, for two quantities."""

from math import isfinite

from pedalwright.analysis.time_pin_range import TimePlace
from pedalwright.analysis.wants._record import Desk, NotKnown


def every_place(desk: Desk) -> tuple[TimePlace, ...]:
    """The time pins of all chips over knobs and switches; raises NotKnown where a clock stands still."""
    for ref, place in desk.time_places:
        if not isfinite(place.delay_s):
            where = f" with {place.says}" if place.says else ""
            raise NotKnown(f"The clock of {ref} stands still{where}: there the delay has no end.")
    if not desk.time_places:
        raise NotKnown("No echo chip has a time pin that can be told of.")
    return tuple(place for _, place in desk.time_places)


def basis(place: TimePlace) -> str:
    """The conditions of an end of the range."""
    return f"typical chip, over every knob and switch: {place.says or 'as everything stands'}"
