"""A circuit measured by playing through it: noise, distortion, where it clips, response, repeats."""

import numpy as np

from pedalwright.solve.arrays import FloatArray
from pedalwright.sound.measure.clip_level import clip_level
from pedalwright.sound.measure.distortion import distortion
from pedalwright.sound.measure.echoes_by_sweep import echo_pattern_by_sweep
from pedalwright.sound.measure.level import idle_level
from pedalwright.sound.measure.repeats_heard import heard_repeats
from pedalwright.sound.measure.settling import Patience
from pedalwright.sound.measure.signals import Play
from pedalwright.sound.measure.sweep_response import sweep_response
from pedalwright.sound.measured import Measured
from pedalwright.sound.playing import MakePlayer, Part, Played, player_of
from pedalwright.sound.through import RATE_HZ, Player
from pedalwright.sound.wish import Ending, Wish

SHORTEST_TAIL_S, LONGEST_TAIL_S = 1.0, 10.0
FAINTEST_DB = -40.0
"""repeats weaker than this against the direct sound are lost in a chip's noise"""
CLIP_RANGE_V, CHIP_CLIP_RANGE_V = (1e-3, 10.0), (0.02, 10.0)
"""where clipping is looked for; at less, a chip's noise covers the tone"""


def measured(take: Played, wish: Wish, make_player: MakePlayer) -> Measured:
    """All measures of the circuit of a take with its knobs at rest, at the level the take had."""
    part, peak_v = take.part, take.input.peak_v
    still = Part(label=part.label, mark=part.mark, analysis=part.analysis, is_dry=part.is_dry)

    def fresh() -> Play:
        player = player_of(still, wish, make_player)
        return lambda in_v: _on_time(player, in_v)

    has_chip = bool(part.analysis.view.parts_of("echo-chip"))
    range_v = CHIP_CLIP_RANGE_V if has_chip else CLIP_RANGE_V
    tail_s = _tail_s(take)
    patience = _patience(take, tail_s, has_chip=has_chip)
    pattern = None
    if has_chip:
        # A click itself is too much at once for a chip's coder; a sweep tells what would become of one.
        pattern = echo_pattern_by_sweep(
            fresh, RATE_HZ, peak_v=peak_v, seconds=tail_s, threshold_db=FAINTEST_DB
        )
    tone = distortion(fresh, RATE_HZ, input_peak_v=peak_v, patience=patience)
    settles = tone.tone_rms_v is not None
    return Measured(
        peak_v=peak_v,
        idle=idle_level(fresh, RATE_HZ, wait_s=SHORTEST_TAIL_S),
        distortion=tone,
        clip_level=clip_level(fresh, RATE_HZ, range_v=range_v, patience=patience) if settles else None,
        response=sweep_response(fresh, RATE_HZ, peak_v=peak_v, tail_s=tail_s, latency_frames=0),
        pattern=pattern,
        repeats=None if pattern is None else heard_repeats(pattern),
    )


def _tail_s(take: Played) -> float:
    """How long to wait for what rings on; where that was not heard to its end, as long as is ever waited."""
    heard_out = take.ending is Ending.DIED
    return min(max(take.tail_s, SHORTEST_TAIL_S), LONGEST_TAIL_S) if heard_out else LONGEST_TAIL_S


def _patience(take: Played, tail_s: float, *, has_chip: bool) -> Patience:
    """After the tail what rang on is 60 dB down, so that a chip's noise is no sign of something unsettled."""
    if has_chip and take.ending is not Ending.CUT:
        return Patience(least_s=tail_s, tolerance=1.0)
    return Patience(least_s=tail_s)


def _on_time(player: Player, in_v: FloatArray) -> FloatArray:
    """What a player at rest makes of a whole sound, its lag taken out."""
    late = player.latency_frames
    return player.play(np.concatenate([in_v, np.zeros(late)]))[late:]
