"""A circuit measured by playing through it: what it says by itself, distortion, response."""

from pedalwright.sound.measure.distortion import distortion
from pedalwright.sound.measure.level import idle_level
from pedalwright.sound.measure.settling import Patience
from pedalwright.sound.measure.signals import Play
from pedalwright.sound.measure.sweep_response import sweep_response
from pedalwright.sound.measured import Measured
from pedalwright.sound.playing import MakePlayer, Part, player_of
from pedalwright.sound.through import RATE_HZ
from pedalwright.sound.wish import Wish

SHORTEST_TAIL_S, LONGEST_TAIL_S = 1.0, 10.0


def measured(part: Part, peak_v: float, tail_s: float, wish: Wish, make_player: MakePlayer) -> Measured:
    """All measures of one circuit with its knobs at rest, at `peak_v`; sounds ring on for about `tail_s`."""
    still = Part(label=part.label, mark=part.mark, analysis=part.analysis, is_dry=part.is_dry)

    def fresh() -> Play:
        return player_of(still, wish, make_player).play

    tail_s = min(max(tail_s, SHORTEST_TAIL_S), LONGEST_TAIL_S)
    late = player_of(still, wish, make_player).latency_frames
    patience = Patience(least_s=tail_s)
    return Measured(
        peak_v=peak_v,
        idle=idle_level(fresh, RATE_HZ, wait_s=SHORTEST_TAIL_S),
        distortion=distortion(fresh, RATE_HZ, input_peak_v=peak_v, patience=patience),
        response=sweep_response(fresh, RATE_HZ, peak_v=peak_v, tail_s=tail_s, latency_frames=late),
    )
