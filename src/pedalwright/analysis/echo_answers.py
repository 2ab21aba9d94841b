"""Everything about a circuit's echo: chips, repeats, decay, runaway, and what its knobs do to them."""

from collections.abc import Iterable, Sequence
from hashlib import sha256

import numpy as np

from pedalwright.analysis.echo_envelope import envelope_answers
from pedalwright.analysis.echo_knobs import (
    repeats_knob,
    repeats_knob_parts,
    strongest_knob,
    swept_time_pin,
    time_knob_parts,
    time_knobs,
)
from pedalwright.analysis.echo_movement import modulation_answers, reverb_answer
from pedalwright.analysis.echo_records import ChipAnswer, EchoAnswers, RepeatsKnob
from pedalwright.analysis.memo import Analysis
from pedalwright.analysis.records import Certified
from pedalwright.circuit.part import Part
from pedalwright.circuit.primitives import Resistance
from pedalwright.echo.chip import ChipState, TimePinReading, chip_state
from pedalwright.echo.cut import CutCircuit, cut
from pedalwright.echo.delay_law import highest_clean_hz
from pedalwright.echo.figures import value
from pedalwright.echo.loop import MIDDLE_HZ, Loop, gain_from_db, loop_of
from pedalwright.echo.repeats import (
    SILENCE_DB,
    buildup_db,
    decay_s,
    levels_at,
    polarity,
    repeats,
    worst_gain,
)
from pedalwright.echo.taps import taps
from pedalwright.echo.track import track_of
from pedalwright.solve.arrays import FloatArray
from pedalwright.solve.certificate import RESIDUAL_BOUND

USUAL_COUNT = 12
BUILDS = 2000
LOOKED_AT = 400
DRY_HEARD = 1e-6
BUILT_GAINS = (
    "chip gain -0.5 dB with a standard deviation of 1 dB, which puts the maker's largest (+2.5 dB) at three "
    "of them."
)
NO_CLOCK = "stands still, so there is no echo to tell of"


def echo_answers(analysis: Analysis, count: int = USUAL_COUNT, builds: int = BUILDS) -> EchoAnswers | None:
    """The echo of a circuit with its knobs as they stand; None for a circuit without an echo chip.

    `count` is how many repeats are told, `builds` how many times the circuit is built with parts off their
    values. Never raises for a circuit that was read: what cannot be certified is refused with its reason.
    """
    chips = analysis.view.parts_of("echo-chip")
    if not chips:
        return None
    if not analysis.rest.certificate.ok or analysis.small is None:
        says = analysis.rest.certificate.says()
        return _answers(analysis, refusals=(f"The resting voltages are {says}, so nothing is told.",))
    states = tuple(state_over_dials(analysis, chip, swept_over_dials(analysis, chip)) for chip in chips)
    try:
        circuit, loop = loop_through(analysis, chips, states)
    except np.linalg.LinAlgError:
        return _answers(analysis, chips=_plain(states), refusals=("The circuit could not be solved.",))
    except LookupError as reason:
        return _answers(analysis, chips=_plain(states), refusals=(str(reason.args[0]),))
    return _told(analysis, chips, states, circuit, loop, count, builds)


def swept_over_dials(analysis: Analysis, chip: Part) -> tuple[TimePinReading, ...]:
    """What a chip's time pin sees over the dial of every time knob, the others as they stand."""
    return tuple(swept_time_pin(analysis, chip, track_of(part)) for part in time_knob_parts(analysis))


def state_over_dials(analysis: Analysis, chip: Part, swept: Sequence[TimePinReading]) -> ChipState:
    """A chip's state as the knobs stand; its start is judged by the least its time knobs can leave. Raises
    NotCertified.
    """
    return chip_state(
        chip,
        analysis.rest,
        analysis.primitives,
        least_ohms=least_ohms(swept),
        starts_slowly=_starts_slowly(analysis, chip),
    )


def least_ohms(swept: Sequence[TimePinReading]) -> float | None:
    """The least resistance at a time pin over some dials [ohm]; None where there is none."""
    found = [one.ohms for one in swept]
    return min((float(np.nanmin(ohms)) for ohms in found if np.isfinite(ohms).any()), default=None)


def _starts_slowly(analysis: Analysis, chip: Part) -> bool:
    """Whether a start-up transistor ends the way from the chip's time pin to ground."""
    stages = [one for one in analysis.stages.stages if one.kind == "delay-time-network"]
    starters = [ref for one in stages for ref in one.with_role("start-up transistor")]
    ends = {net for ref in starters for net in analysis.circuit.by_ref[ref].nets} - {"gnd"}
    own = [one for one in stages if one.nets.get("time", one.output) == chip.net("6")]
    known = analysis.circuit.by_ref
    parts = [known[ref] for one in own for ref in one.refs if ref in known]
    return any(net in ends for part in parts for net in part.nets)


def loop_through(
    analysis: Analysis,
    chips: tuple[Part, ...],
    states: tuple[ChipState, ...],
    frequency_hz: FloatArray | None = None,
    halves: Sequence[Resistance] = (),
) -> tuple[CutCircuit, Loop]:
    """The loop through the chips in use, at these frequencies or over the range of hearing, ready for the
    halves of one knob's track to be turned.

    Raises LookupError with a sentence where there is none, numpy.linalg.LinAlgError for a singular circuit.
    """
    assert analysis.small is not None
    found = taps(chips, analysis.primitives, analysis.small)
    used = {tap.ref for tap in found}
    if not found:
        raise LookupError("No chip has both its input filter and its decoder in use: nothing is delayed.")
    stalled = [one.ref for one in states if one.ref in used and not np.isfinite(one.delay_s)]
    if stalled:
        raise LookupError(f"The clock of {stalled[0]} {NO_CLOCK}.")
    source, output = analysis.circuit.input, analysis.circuit.output
    circuit = cut(
        analysis.small,
        found,
        input_net=source.net if source else "",
        output_net=output.net if output else "",
        halves=halves,
    )
    delays = np.array([one.delay_s for one in states if one.ref in used])
    return circuit, loop_of(circuit, delays, _typical(len(delays)), frequency_hz)


def _typical(chips: int) -> FloatArray:
    return np.full(chips, gain_from_db(value("through_gain_db")))


def _told(
    analysis: Analysis,
    chips: tuple[Part, ...],
    states: tuple[ChipState, ...],
    circuit: CutCircuit,
    loop: Loop,
    count: int,
    builds: int,
) -> EchoAnswers:
    certified = certified_loop(loop)
    if not certified.ok:
        refusal = f"The loop is {loop.certificate.says()}, so its figures are not told."
        return _answers(analysis, chips=_plain(states), certificates=(certified,), refusals=(refusal,))
    return _answers(
        analysis,
        chips=tuple(_with_level(analysis, one, loop) for one in states),
        loop=loop,
        repeats=repeats(loop, count),
        silent=last_heard(levels_at(loop, LOOKED_AT)),
        time_knobs=tuple(time_knobs(analysis, chips)),
        repeats_knobs=tuple(_knobs(analysis, circuit, loop, builds)),
        reverb=reverb_answer(loop),
        modulation=tuple(modulation_answers(analysis, chips, loop)),
        envelopes=tuple(envelope_answers(analysis, chips, loop)),
        certificates=(certified,),
        conditions=_conditions(analysis, builds),
    )


def _knobs(analysis: Analysis, circuit: CutCircuit, loop: Loop, builds: int) -> Iterable[RepeatsKnob]:
    if not loop.recirculates and not repeats_knob_parts(analysis):
        return
    parts = repeats_knob_parts(analysis) or strongest_knob(analysis, circuit, loop.gains)
    for part in parts:
        yield repeats_knob(analysis, circuit, part, loop.gains, loop.delays_s, builds)


def certified_loop(loop: Loop) -> Certified:
    """How well the loop satisfies the circuit's equations."""
    quality = loop.certificate
    return Certified(
        what="echo loop",
        residual=quality.residual_a,
        bound=RESIDUAL_BOUND,
        condition=quality.condition,
        method=quality.method,
        ok=quality.ok,
    )


def _plain(states: tuple[ChipState, ...]) -> tuple[ChipAnswer, ...]:
    return tuple(ChipAnswer(state=one, coder_peak_v=None, highest_clean_hz=None) for one in states)


def _with_level(analysis: Analysis, state: ChipState, loop: Loop) -> ChipAnswer:
    source = analysis.circuit.input
    if source is None or state.ref not in loop.chips:
        return _plain((state,))[0]
    place = loop.at(MIDDLE_HZ)
    peak_v = float(abs(loop.b[place, loop.chips.index(state.ref)])) * source.level_v
    slope = state.slope_v_per_s
    clean = highest_clean_hz(slope, peak_v) if slope and peak_v > 0 else None
    return ChipAnswer(state=state, coder_peak_v=peak_v, highest_clean_hz=clean)


def last_heard(heard: list[tuple[float, float]]) -> tuple[int, float] | None:
    """The last arrival less than 60 dB below the loudest, and its time; None where there is none or no
    end.
    """
    floor = max((level for _, level in heard), default=0.0) - SILENCE_DB
    above = [place for place, (_, level) in enumerate(heard, start=1) if level > floor]
    if not above or above[-1] == LOOKED_AT:
        return None
    return above[-1], heard[above[-1] - 1][0]


def _conditions(analysis: Analysis, builds: int) -> tuple[str, ...]:
    found = [
        "Chips of typical gain (-0.5 dB, data sheet) and typical delay, unless spread is said.",
        "Small sounds: what slope and swing limit is told beside each chip, not counted in the repeats.",
        f"{builds} builds: resistors, capacitors and the knob's track evenly within tolerance; "
        + BUILT_GAINS,
    ]
    if not analysis.rest.stays:
        found.append("The circuit has an oscillator of its own; the loop is told with that standing still.")
    return tuple(found)


def _answers(
    analysis: Analysis,
    *,
    chips: tuple[ChipAnswer, ...] = (),
    loop: Loop | None = None,
    silent: tuple[int, float] | None = None,
    **told: object,
) -> EchoAnswers:
    """The record with what is known; the rest empty."""
    place = loop.at(MIDDLE_HZ) if loop is not None else 0
    dry = float(abs(loop.h0[place])) if loop is not None else 0.0
    known: dict[str, object] = {
        "repeats": (),
        "time_knobs": (),
        "repeats_knobs": (),
        "reverb": None,
        "modulation": (),
        "envelopes": (),
        "certificates": (),
        "conditions": (),
        "refusals": (),
    }
    moving = (*analysis.circuit.knobs, *analysis.circuit.switches)
    rings = loop is not None and loop.recirculates
    return EchoAnswers(
        title=analysis.circuit.title,
        text_sha256=sha256(analysis.text.encode("utf-8")).hexdigest(),
        settings=tuple((part.ref, str(part.setting)) for part in moving),
        reference_hz=MIDDLE_HZ,
        chips=chips,
        loop=loop,
        dry_db=float(20 * np.log10(dry)) if dry > DRY_HEARD else None,
        dry_polarity=polarity(loop.frequency_hz, loop.h0, place) if loop is not None else 1,
        once_round=worst_gain(loop) if loop is not None else None,
        decay_s=decay_s(loop) if loop is not None and rings else None,
        buildup_db=buildup_db(loop) if loop is not None and rings else None,
        silent_after=silent[0] if silent else None,
        silent_after_s=silent[1] if silent else None,
        **(known | told),  # type: ignore[arg-type]
    )
