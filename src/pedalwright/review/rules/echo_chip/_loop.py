"""The echo loop as the rules of this folder ask for it: over the dial of the knob that sets the repeats."""

from dataclasses import dataclass

import numpy as np

from pedalwright.analysis.wants import Desk, NotKnown
from pedalwright.circuit.part import Part
from pedalwright.review.survey import Survey
from pedalwright.review.wants import desk_of
from pedalwright.solve.arrays import FloatArray
from pedalwright.solve.variants import Variants


@dataclass(frozen=True, kw_only=True, eq=False)
class Around:
    """The loop: the most it gives back for one that went in, typical chips, within hearing.

    `knob` sets the repeats (None: no knob does); `dial` and `gain` (positions,) go over its travel, or hold
    the circuit as it stands alone.
    """

    desk: Desk
    knob: Part | None
    dial: FloatArray
    gain: FloatArray

    @property
    def loudest(self) -> int:
        """The place of the dial at which the most comes back."""
        return int(np.argmax(self.gain))

    @property
    def crossing(self) -> float | None:
        """The first place of the dial (0 to 10) from which a typical chip runs away; None where none does."""
        above = np.flatnonzero(self.gain >= 1.0)
        if not len(above):
            return None
        first = int(above[0])
        if first == 0:
            return float(self.dial[0])
        pair = slice(first - 1, first + 1)
        return float(np.interp(1.0, self.gain[pair], self.dial[pair]))


def loop_of(survey: Survey) -> Around | None:
    """The circuit's echo loop; None where nothing comes back, or it is not certain."""
    return survey.once("echo loop", lambda: _loop(survey))


def _loop(survey: Survey) -> Around | None:
    # Imported here: circuits without an echo chip need none of it.
    from pedalwright.analysis.wants._loops import DIAL, LEAST, over_dial, repeats_part
    from pedalwright.echo.repeats import worst_gain

    if not survey.view.parts_of("echo-chip"):
        return None
    desk = desk_of(survey)
    try:
        loop = desk.loop
    except NotKnown:
        return None
    if not loop.recirculates:
        return None
    try:
        knob: Part | None = repeats_part(desk)
    except NotKnown:
        knob = None
    if knob is None:
        standing = np.array([float(worst_gain(loop).max())])
        found = Around(desk=desk, knob=None, dial=np.zeros(1), gain=standing)
    else:
        found = Around(desk=desk, knob=knob, dial=DIAL, gain=over_dial(desk, knob))
    return found if found.gain.max() > LEAST else None


def most_back(
    around: Around,
    gains: FloatArray,
    variants: Variants | None = None,
    frequency_hz: FloatArray | None = None,
) -> FloatArray:
    """The most that comes back (variants,) for chip gains (variants or 1, N), the knob at its loudest.

    `variants` are the circuit with other values, `frequency_hz` where it is measured (None: over hearing).
    """
    from pedalwright.echo.builds import LISTENED_HZ
    from pedalwright.echo.repeats import perron

    at = LISTENED_HZ if frequency_hz is None else frequency_hz
    if around.knob is None:
        ways = around.desk.cut.corner(at, variants).ways(gains)
    else:
        track = around.desk.track(around.knob)
        corner = around.desk.turning(around.knob).corner(at, variants)
        place = np.full(len(corner.values), around.dial[around.loudest])
        ways = corner.ways(gains, track.grown(place))
    return np.asarray(perron(np.abs(ways)).max(axis=1))


def share_running_away(around: Around, count: int) -> float:
    """The share of so many builds, parts and chips off their values, that run away at the loudest place."""
    from pedalwright.analysis.echo_knobs import built_gains
    from pedalwright.echo.tolerance import tolerances

    knob, desk = around.knob, around.desk
    assert knob is not None
    track = desk.track(knob)
    own = desk.turning(knob)
    shares = tolerances(desk.analysis.circuit.parts, desk.analysis.primitives, own.small.names, knob.ref)
    found = built_gains(own, track, shares, around.dial[[around.loudest]], count)[0]
    return float((found >= 1.0).mean())
