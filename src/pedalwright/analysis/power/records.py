"""What the supply side of a pedal comes to: currents, heat, abuse, battery life, start. Every figure is in SI
units.
"""

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Spread:
    """A figure at its least, typical and most: low supply with frugal chips, as written, high supply with
    thirsty chips.
    """

    least: float
    typical: float
    most: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Load:
    """What one part takes out of a rail [A]; `onward` is the rail it passes the current to, or empty."""

    ref: str
    says: str
    amps: Spread
    onward: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Rail:
    """A supply, or a net made from one: its voltage [V], all current that enters it [A], and where it goes.

    `feeds` are the designators of the parts that bring the current (empty: the supply itself), `from_nets`
    the rails they bring it from. `loads` add up to `amps`. `limit_a` is what a regulator among the feeds can
    give, or None.
    """

    net: str
    volts: Spread
    amps: Spread
    feeds: tuple[str, ...]
    from_nets: tuple[str, ...]
    loads: tuple[Load, ...]
    limit_a: float | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Adaptor:
    """The words beside the jack of the supply on `net`: volts, polarity, the smallest usual size with room.

    `margin` is `standard_a` over the most the circuit draws, None where no usual size has room;
    `polarity_stated` says whether the text itself names the polarity, which is common practice otherwise.
    """

    net: str
    volts: float
    most_a: float
    needed_a: float
    standard_a: float | None
    margin: float | None
    polarity: str
    polarity_stated: bool
    label: str


@dataclass(frozen=True, slots=True, kw_only=True)
class PowerBudget:
    """Every rail, from the supplies outward; `refusals` says what could not be certified.

    `supply_a` holds what each supply gives, `range_v` the low and high ends of its voltage, `range_stated`
    whether the text names them. `adaptor` is that of the largest supply.
    """

    rails: tuple[Rail, ...]
    supply_a: tuple[tuple[str, Spread], ...]
    range_v: tuple[tuple[str, float, float], ...]
    range_stated: bool
    adaptor: Adaptor | None
    notes: tuple[str, ...] = ()
    refusals: tuple[str, ...] = ()

    def rail(self, net: str) -> Rail | None:
        """The rail on a net, or None."""
        return next((rail for rail in self.rails if rail.net == net), None)


@dataclass(frozen=True, slots=True, kw_only=True)
class Heat:
    """What a part turns into heat [W] against what it stands.

    `most_w` is its rating at 25 degrees C, `allowed_w` what is left of that inside a warm box, `share` the
    most heat over `allowed_w`. Junction temperatures [degree C] are those at the most heat, in a room and in
    a closed box; None where no thermal resistance is known.
    """

    ref: str
    says: str
    watts: Spread
    most_w: float | None
    allowed_w: float | None
    share: float | None
    k_per_w: float | None
    room_c: float | None
    box_c: float | None
    most_junction_c: float | None
    source: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Strain:
    """One rating of one part: what it sees against what it stands, in `unit`; `factor` is their ratio.

    `at_v` is the supply voltage at which the rating is reached, on straight lines between some voltages
    solved on the way from the healthy circuit (or from nothing, for a reversed one); None where it is not
    known. `blows` marks a fuse, which is there to fail.
    """

    ref: str
    says: str
    rating: str
    unit: str
    value: float
    limit: float
    factor: float
    source: str
    at_v: float | None = None
    blows: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class AbuseCase:
    """One way to mistreat the supply: every rating exceeded, the first to go first.

    `name` is ``reversed``, ``12 V``, ``18 V``, ``9 V AC`` or ``U3 turned``; `volts` what the supply was
    solved at. `protected_by` says which part kept what from harm, `chips_alive` names the chips that see
    nothing above their ratings. With `certified` False the circuit could not be solved there and nothing
    is said.
    """

    name: str
    says: str
    net: str
    volts: tuple[float, ...]
    certified: bool
    strains: tuple[Strain, ...] = ()
    protected_by: tuple[str, ...] = ()
    chips_alive: tuple[str, ...] = ()
    supply_a: float | None = None

    @property
    def survives(self) -> bool | None:
        """Whether nothing is exceeded (a blown fuse aside); None where nothing is known."""
        if not self.certified:
            return None
        return all(strain.blows for strain in self.strains)

    @property
    def first(self) -> Strain | None:
        """What goes first, or None."""
        return self.strains[0] if self.strains else None


@dataclass(frozen=True, slots=True, kw_only=True)
class Failing:
    """Something that stops working as the supply sinks: the supply voltage below which it does [V].

    `at_v` is the highest voltage tried where it fails at the full voltage already.
    """

    rule: str
    ref: str
    at_v: float
    says: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Cell:
    """A sort of battery: hours down to `end_v`, the charge taken by then [Ah], what its curve rests on."""

    name: str
    hours: float
    end_v: float
    used_ah: float
    whole_ah: float
    source: str


@dataclass(frozen=True, slots=True, kw_only=True)
class BatteryLife:
    """How long a 9 V battery lasts, and what gives out first.

    `stated` says whether the text names a battery at all; `failing` are in the order in which they fail as
    the voltage sinks, `already` those that fail at the full voltage and so do not count. `end_v` is the end
    used: that of the first to fail, or the battery's own.
    """

    net: str
    stated: bool
    amps: float
    end_v: float
    first: Failing | None
    failing: tuple[Failing, ...]
    already: tuple[Failing, ...]
    cells: tuple[Cell, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Settling:
    """How long after switch-on a resting voltage stays within 5 % and within 1 % of its final value [s].

    None where the linear circuit does not answer (a mode that grows reaches the net). `fade_s` is what the
    echo chip adds by itself, for its reference.
    """

    net: str
    says: str
    volts: float
    within_5_s: float | None
    within_1_s: float | None
    fade_s: float | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Inrush:
    """The gulp at switch-on: the highest current [A], and the charge the capacitors of the rails take [C].

    `through` are the parts on the way with a surge rating: (designator, its rating [A], source).
    """

    net: str
    peak_a: float
    charge_c: float
    series_ohms: float
    through: tuple[tuple[str, float, str], ...]
    certified: bool
