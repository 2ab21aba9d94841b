"""Repeats that grow instead of dying away: typical chips, and chips and parts as they come."""

from collections.abc import Iterable
from typing import TYPE_CHECKING

import numpy as np

from pedalwright.review.rule import Change, Evidence, Finding, Gravity, Rule, Trial
from pedalwright.review.rules.echo_chip._chips import MIDDLE_HZ, SHEET, limit
from pedalwright.review.rules.echo_chip._loop import Around, loop_of, most_back, share_running_away
from pedalwright.review.rules.echo_chip._trial import REPEATING, echo
from pedalwright.review.survey import Survey
from pedalwright.solve.arrays import FloatArray
from pedalwright.stages.wording import named, ohms
from pedalwright.units.preferred import Series, members_between

if TYPE_CHECKING:
    from pedalwright.echo.cut import Matrices

BUILDS = 80
"""enough to tell one in twenty from none"""
HALF = 0.5
"""of the travel in which a loop may run away and still be meant to (house rule)"""
NEVER = 0.05
"""share of builds from which it is told (house rule)"""
TRIED_TIMES, LEAST_FALL_DB = 1.5, 0.8
"""a resistor half as large again must take so much from what comes back to be the one to change, and at most
a quarter of that from any other way
"""
FAINT_DB = -20.0
"""dry sound so far below the first repeat is none that anybody wants to keep"""
NOTHING = 1e-4
"""80 dB down: spilled over a supply, and no way"""
MOST_TIMES = 10.0
"""a resistor in the way back is tried up to so many times its value"""


def look(survey: Survey) -> Iterable[Finding]:
    """The circuit's loop, over the dial of the knob that sets the repeats."""
    around = loop_of(survey)
    if around is None:
        return
    crossing = around.crossing
    if around.knob is None:
        if crossing is not None:
            yield _always(survey, around, "Nothing turns the repeats down, and")
    elif crossing is None:
        yield from _of_builds(survey, around)
    elif crossing <= float(around.dial[0]) and around.gain.min() >= 1.0:
        yield _always(survey, around, f"Wherever {around.knob.ref} stands,")
    else:
        yield _beyond(survey, around, crossing)


def _always(survey: Survey, around: Around, start: str) -> Finding:
    cure, changes = _cure(survey, around)
    return Finding(
        parts=(*(change.ref for change in changes), *_blamed(around)),
        what=(
            f"{start} every repeat comes back {_most(around):.2f} times as loud as the one before: it howls."
        ),
        evidence=(_evidence(around, _most(around), ""),),
        cure=cure,
        changes=changes,
        gravity=Gravity.DEAD,
    )


def _beyond(survey: Survey, around: Around, crossing: float) -> Finding:
    assert around.knob is not None
    ref = around.knob.ref
    over = around.gain >= 1.0
    share = float(over.mean())
    # With the knob at nothing the repeats should be at their fewest, wherever it goes from there.
    is_poor = share > HALF or bool(over[0])
    end = "" if over[-1] else f" to {around.dial[over][-1]:.1f}"
    where = f"from {ref} {crossing:.1f}{end or ' on'}"
    most = (
        f"that is {100 * share:.0f} % of its travel" if is_poor else "and get as loud as clipping lets them"
    )
    cure, changes = _cure(survey, around)
    return Finding(
        parts=(ref, *(change.ref for change in changes)),
        what=f"With a typical chip the repeats run away {where}, {most}.",
        evidence=(_evidence(around, _most(around), f"{ref} at {around.dial[around.loudest]:g}"),),
        cure=cure if is_poor else f"If that is not meant: {cure[0].lower()}{cure[1:]}",
        changes=changes,
        gravity=Gravity.POOR if is_poor else Gravity.NOTE,
    )


def _of_builds(survey: Survey, around: Around) -> Iterable[Finding]:
    """Typical parts do not run away; of parts as they come some may."""
    # A chip at the maker's largest gain is 3 dB louder; parts add less than 1 dB to that.
    assert around.knob is not None
    if _most(around) * 10 ** ((_spread_db() + 1.0) / 20) < 1.0:
        return
    share = share_running_away(around, BUILDS)
    if share >= NEVER:
        cure, changes = _cure(survey, around)
        place = around.dial[around.loudest]
        ref = around.knob.ref
        yield Finding(
            parts=(ref, *(change.ref for change in changes)),
            what=(
                f"With {ref} at {place:g} about {100 * share:.0f} of 100 builds run away: a typical chip "
                f"gives back {_most(around):.2f} of each repeat there, and chips differ by up to "
                f"{_spread_db():.0f} dB."
            ),
            evidence=(
                _evidence(around, _most(around), f"{ref} at {place:g}"),
                Evidence(
                    name="builds that run away",
                    value=100 * share,
                    unit="%",
                    high=100 * NEVER,
                    basis=f"{BUILDS} builds, parts within tolerance, chips as they come",
                ),
            ),
            cure=f"If none is to: {cure[0].lower()}{cure[1:]}",
            changes=changes,
            gravity=Gravity.NOTE,
        )


def _most(around: Around) -> float:
    return float(around.gain[around.loudest])


def _spread_db() -> float:
    """From the typical chip to the maker's largest gain."""
    return limit("most_through_gain_db") - limit("through_gain_db")


def _evidence(around: Around, gain: float, basis: str) -> Evidence:
    return Evidence(
        name="back for one that went in",
        value=gain,
        unit="x",
        high=1.0,
        basis=", ".join(one for one in (basis, "most within hearing, typical chip of -0.5 dB") if one),
    )


def _blamed(around: Around) -> tuple[str, ...]:
    return (around.knob.ref,) if around.knob is not None else around.desk.loop.chips


def _cure(survey: Survey, around: Around) -> tuple[str, tuple[Change, ...]]:
    """A larger resistor in the way back, with which the maker's loudest chip too dies away."""
    for ref in _in_the_way(survey, around)[:2]:
        size = _enough(around, ref)
        if size is not None:
            cure = f"Make {named(survey.bench, ref)} {ohms(size)}; even the loudest chip then dies away."
            return cure, (Change(ref=ref, value=size),)
    lacking = 20 * np.log10(_most(around)) + _spread_db()
    return f"Take {lacking:.1f} dB out of the way back.", ()


def _in_the_way(survey: Survey, around: Around) -> list[str]:
    """Resistors that, made larger, take away from what comes back and from nothing else; the best first."""
    # Imported here: circuits without an echo chip need none of it.
    from pedalwright.echo.repeats import perron

    known = [part.ref for part in survey.parts_of("resistor") if part.ref in around.desk.cut.small.names]
    if not known:
        return []
    small = around.desk.cut.small
    size = np.array([small.parameter(ref) for ref in known])
    table = np.repeat(size[None], len(known) + 1, axis=0)
    np.fill_diagonal(table[1:], size * TRIED_TIMES)
    variants = small.changed({ref: table[:, place] for place, ref in enumerate(known)})
    found = around.desk.cut.corner(np.array([MIDDLE_HZ]), variants).matrices(around.desk.loop.gains[None])
    with np.errstate(all="ignore"):
        back, into, out, dry, first = (
            20 * np.log10(one.reshape(len(table), -1).max(axis=1) + 1e-12)
            for one in (
                perron(np.abs(found.a)),
                *map(np.abs, (found.b, found.c, found.h0)),
                _first_repeat(found),
            )
        )
    falls = back[0] - back[1:]
    ways = [into, out, *([dry] if dry[0] > into[0] + out[0] + FAINT_DB else [])]
    ways += [first] if len(around.desk.cut.taps) > 1 else []
    beside = np.max([one[0] - one[1:] for one in ways], axis=0)
    fitting = [place for place in range(len(known)) if falls[place] > max(LEAST_FALL_DB, 4 * beside[place])]
    return [known[place] for place in sorted(fitting, key=lambda place: -falls[place])]


def _first_repeat(found: "Matrices") -> FloatArray:
    """The sound that goes through as few chips as it can (variants, frequencies): of chips in a row, all."""
    there = np.abs(found.b)
    for _ in range(found.b.shape[-1]):
        heard = (np.abs(found.c) * there).sum(axis=-1)
        if heard.max() > NOTHING:
            return np.asarray(heard)
        there = np.einsum("vfij,vfj->vfi", np.abs(found.a), there)
    return np.zeros(found.b.shape[:2])


def _enough(around: Around, ref: str) -> float | None:
    """The smallest of the E12 series above the part's value with which even the loudest chip dies away."""
    cut, now = around.desk.cut, around.desk.cut.small.parameter(ref)
    values = members_between(now * 1.01, now * MOST_TIMES, Series.E12)
    gains = np.full((len(values), len(cut.taps)), 10 ** (limit("most_through_gain_db") / 20))
    most = most_back(around, gains, cut.small.changed({ref: np.array(values)})) if values else np.zeros(0)
    return next((value for value, gain in zip(values, most, strict=True) if gain < 1.0), None)


LOUD = echo(("R10 33k", "R10 10k"), base=REPEATING)
LOUDER = echo(("R10 33k", "R10 1k"), ("REPEATS 50k", "REPEATS 5k"), ("R4 22k", "R4 220k"), base=REPEATING)
EDGE = echo(("R10 33k", "R10 18k"), base=REPEATING)
UNTURNED = echo() + "WET > R10 10k > C16 1u (film) > MIX\n"

RULE = Rule(
    code="E15",
    name="runaway",
    title="The repeats may grow instead of dying away",
    gravity=Gravity.POOR,
    why=(
        "Each repeat is the one before, times what the loop gives back. From one on the repeats grow until "
        "something clips. The chip's own gain differs more from part to part than most loops have in hand."
    ),
    source=(
        f"{SHEET}: gain -0.5 dB typical, +2.5 dB at most; its own echo circuit has 0.94 dB in hand, computed"
    ),
    look=look,
    speaks=(
        Trial(text=UNTURNED, blames=("R10",), says="howls"),
        Trial(text=LOUD, blames=("REPEATS", "R10"), says="from REPEATS 9"),
        Trial(text=LOUDER, blames=("REPEATS",), says="of its travel"),
        Trial(text=EDGE, blames=("REPEATS",)),
    ),
    quiet=(Trial(text=echo()), Trial(text=REPEATING)),
)
