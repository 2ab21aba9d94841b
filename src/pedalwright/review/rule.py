"""What a rule of the review is, and what it finds."""

from collections.abc import Callable, Iterable
from dataclasses import dataclass
from enum import Enum
from typing import TYPE_CHECKING

from pedalwright.circuit.span import Span

if TYPE_CHECKING:
    from pedalwright.review.survey import Survey


class Gravity(Enum):
    """How much a finding matters; the worst come first."""

    DAMAGE = "will be damaged"
    DEAD = "will not work"
    POOR = "will disappoint"
    NOTE = "worth knowing"

    @property
    def rank(self) -> int:
        """0 for the worst."""
        return list(Gravity).index(self)

    @property
    def is_grave(self) -> bool:
        """One of the two that must be mended before the iron is switched on."""
        return self in (Gravity.DAMAGE, Gravity.DEAD)


class CannotSay(Exception):
    """A rule has no certified numbers to judge by; the text is the reason, one sentence."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Evidence:
    """One figure a finding stands on: measured on the full circuit, in SI units.

    `low` and `high` are the limits it was held against, None where there is none. `basis` tells the
    conditions (``supply at 9.45 V, TIME at 0``) or where a limit comes from. `unit` is ``V``, ``A``, ``W``,
    ``ohm``, ``F``, ``Hz``, ``s``, ``h``, ``dB``, ``x``, ``%``, ``C`` or empty.
    """

    name: str
    value: float
    unit: str
    low: float | None = None
    high: float | None = None
    basis: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Change:
    """A cure that is one part's value: write `value` (SI) for the part. With it the finding is gone."""

    ref: str
    value: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Finding:
    """One thing found: the parts to blame, what is wrong, the figures, the cure.

    `parts` are designators or names of knobs and switches, the one to look at first in front; `nets` name
    places instead where no part is to blame. `spans` are lines of the text beyond those of the parts
    (a ``want``, a ``supply``). `what` and `cure` are plain sentences with their figures; `changes` are the
    cures that are just another value. `gravity` overrides the rule's own.
    """

    what: str
    cure: str
    parts: tuple[str, ...] = ()
    nets: tuple[str, ...] = ()
    spans: tuple[Span, ...] = ()
    evidence: tuple[Evidence, ...] = ()
    changes: tuple[Change, ...] = ()
    gravity: Gravity | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Trial:
    """A small circuit that a rule must speak about, or must be quiet about: its test and its demonstration.

    `blames` are parts that one finding of the rule must name, all of them together.
    """

    text: str
    blames: tuple[str, ...] = ()
    says: str = ""
    """words that a finding must contain; empty: any"""


@dataclass(frozen=True, slots=True, kw_only=True)
class Rule:
    """One entry of the family: one thing that a careful friend looks at.

    `code` is stable (``S03``: the family's letter and a number), `name` speaking and in kebab-case. `why`
    tells a beginner what happens and why, in one to four sentences; `source` where the limit comes from.
    `look` returns what it finds, raising CannotSay where no certified figures exist. `speaks` and `quiet`
    hold at least one trial each. A rule that may not be accepted away sets `stands`.
    """

    code: str
    name: str
    title: str
    gravity: Gravity
    why: str
    source: str
    look: Callable[["Survey"], Iterable[Finding]]
    speaks: tuple[Trial, ...]
    quiet: tuple[Trial, ...]
    stands: bool = False
