"""A circuit measured by playing through it: noise, distortion, where it clips, response, repeats."""

import numpy as np

from pedalwright.solve.arrays import FloatArray
from pedalwright.sound.measure.clicks import echo_pattern
from pedalwright.sound.measure.clip_level import clip_level
from pedalwright.sound.measure.distortion import distortion
from pedalwright.sound.measure.level import idle_level
from pedalwright.sound.measure.repeats_heard import heard_repeats
from pedalwright.sound.measure.settling import Patience
from pedalwright.sound.measure.signals import Play
from pedalwright.sound.measure.sweep_response import sweep_response
from pedalwright.sound.measured import Measured
from pedalwright.sound.playing import MakePlayer, Part, player_of
from pedalwright.sound.through import RATE_HZ, Player
from pedalwright.sound.wish import Wish

SHORTEST_TAIL_S, LONGEST_TAIL_S = 1.0, 10.0


def measured(part: Part, peak_v: float, tail_s: float, wish: Wish, make_player: MakePlayer) -> Measured:
    """All measures of one circuit with its knobs at rest, at `peak_v`; sounds ring on for about `tail_s`."""
    still = Part(label=part.label, mark=part.mark, analysis=part.analysis, is_dry=part.is_dry)

    def fresh() -> Play:
        player = player_of(still, wish, make_player)
        return lambda in_v: _on_time(player, in_v)

    tail_s = min(max(tail_s, SHORTEST_TAIL_S), LONGEST_TAIL_S)
    patience = Patience(least_s=tail_s)
    pattern = echo_pattern(fresh, RATE_HZ, seconds=tail_s + SHORTEST_TAIL_S, peak_v=peak_v)
    return Measured(
        peak_v=peak_v,
        idle=idle_level(fresh, RATE_HZ, wait_s=SHORTEST_TAIL_S),
        distortion=distortion(fresh, RATE_HZ, input_peak_v=peak_v, patience=patience),
        clip_level=clip_level(fresh, RATE_HZ, patience=patience),
        response=sweep_response(fresh, RATE_HZ, peak_v=peak_v, tail_s=tail_s, latency_frames=0),
        pattern=pattern,
        repeats=heard_repeats(pattern) if part.analysis.view.parts_of("echo-chip") else None,
    )


def _on_time(player: Player, in_v: FloatArray) -> FloatArray:
    """What a player at rest makes of a whole sound, its lag taken out."""
    late = player.latency_frames
    return player.play(np.concatenate([in_v, np.zeros(late)]))[late:]
