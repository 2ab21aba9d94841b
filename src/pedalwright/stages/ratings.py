"""What a capacitor's resting voltage asks of it: its rated voltage, and for polarised parts its plus end."""

from collections.abc import Iterable
from dataclasses import dataclass

from pedalwright.circuit.circuit import GROUND
from pedalwright.circuit.part import Part
from pedalwright.devices.kinds.capacitor import dielectric, is_polarised, rated_v
from pedalwright.stages.bench import Bench
from pedalwright.stages.wording import named, volts

RATINGS_V = (6.3, 10.0, 16.0, 25.0, 35.0, 50.0, 63.0, 100.0, 160.0, 250.0, 400.0)
"""rated voltages electrolytics are sold with (from memory)"""
ROOM = 1.25
"""a rating this many times the resting voltage leaves room for a supply above its name (common practice, no
source)
"""
BACKWARDS_V = 0.2
"""below this a polarised part that stands backwards is no matter: offsets and leakage (common practice, no
source)
"""
SURVIVED_V = 1.0
"""an aluminium part stands about this much backwards for a while (from memory: sheets say 1 V to 1.5 V)"""


@dataclass(frozen=True, slots=True, kw_only=True)
class Strain:
    """What stands across a capacitor at rest.

    `across_v` counts from its plus end (its left end in the walk) to the other; `most_v` is its size, at the
    top of the supply's stated range where the part lies straight across a supply. `rated_v` is None where no
    rating is written.
    """

    part: Part
    across_v: float
    most_v: float
    rated_v: float | None

    @property
    def is_backwards(self) -> bool:
        """A polarised part with its plus end on the lower side."""
        return is_polarised(self.part) and self.across_v < -BACKWARDS_V

    @property
    def is_over(self) -> bool:
        """More stands across it than it is made for."""
        return self.rated_v is not None and self.most_v > self.rated_v

    @property
    def is_tight(self) -> bool:
        """It holds, but with less room than is usual."""
        return self.rated_v is not None and not self.is_over and self.most_v * ROOM > self.rated_v * 1.0001


def strain_on(bench: Bench, ref: str) -> Strain | None:
    """The strain on a capacitor; None for other parts, and where the voltage across it is not certified."""
    part = bench.view.circuit.by_ref.get(ref)
    if part is None or part.kind != "capacitor" or bench.rest is None:
        return None
    if set(part.nets) & set(bench.rest.floating):
        return None
    plus, minus = (bench.volts(net) for net in part.nets)
    if plus is None or minus is None:
        return None
    most = max(abs(plus - minus), _top_of_supply(bench, part))
    return Strain(part=part, across_v=plus - minus, most_v=most, rated_v=rated_v(part))


def _top_of_supply(bench: Bench, part: Part) -> float:
    """The highest voltage the text allows a supply that lies straight across the part; 0 for other parts."""
    supplies = bench.view.circuit.supplies
    return max((abs(one.high_v) for one in supplies if set(part.nets) == {one.net, GROUND}), default=0.0)


def standard_rating(across_v: float) -> float | None:
    """The smallest usual rating that leaves room above a voltage, in volts; None when none does.

    >>> standard_rating(17.6), standard_rating(9.0)
    (25.0, 16.0)
    """
    return next((rating for rating in RATINGS_V if rating >= across_v * ROOM), None)


def rating_says(bench: Bench, ref: str) -> str:
    """What to say about one part's rating: a warning, or the margin of a polarised part; may be empty."""
    strain = strain_on(bench, ref)
    if strain is None:
        return ""
    warnings = " ".join(_warnings(strain))
    return warnings or (_margin(strain) if is_polarised(strain.part) else "")


def rating_findings(bench: Bench) -> tuple[str, ...]:
    """A sentence for every capacitor that will fail as it stands or has too little room, in the text's
    order.
    """
    strains = (strain_on(bench, part.ref) for part in bench.view.circuit.parts)
    return tuple(
        f"{named(bench, strain.part.ref)}: {sentence}"
        for strain in strains
        if strain is not None
        for sentence in _warnings(strain)
    )


def _warnings(strain: Strain) -> Iterable[str]:
    if strain.is_backwards:
        yield _backwards(strain)
    if strain.is_over:
        yield (
            f"{_rating(strain)} with {volts(strain.most_v)} across it: it will fail, and may vent or "
            f"burst;{_take(strain)}."
        )
    elif strain.is_tight and is_polarised(strain.part):
        yield f"{_rating(strain)} with {volts(strain.most_v)} across it: too little room;{_take(strain)}."


def _backwards(strain: Strain) -> str:
    size = volts(-strain.across_v)
    where = f"its plus end is on the lower side, {size} backwards:"
    if dielectric(strain.part) == "tantalum":
        return f"{where} it will be destroyed, and can catch fire; turn it round."
    if -strain.across_v <= SURVIVED_V:
        return f"{where} it wears out and leaks; turn it round."
    return f"{where} it will be destroyed, and may vent or burst; turn it round."


def _margin(strain: Strain) -> str:
    across = volts(strain.most_v)
    if strain.most_v <= BACKWARDS_V:
        return ""
    if strain.rated_v is None:
        return f"{across} stands across it;{_take(strain)} or more."
    return f"{_rating(strain)} with {across} across it: {volts(strain.rated_v - strain.most_v)} to spare."


def _rating(strain: Strain) -> str:
    return f"{volts(strain.rated_v or 0.0)} part"


def _take(strain: Strain) -> str:
    rating = standard_rating(strain.most_v)
    return " no usual rating is enough" if rating is None else f" take {volts(rating)}"
