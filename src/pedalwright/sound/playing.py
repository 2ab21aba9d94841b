"""One take: a sound through one circuit onto a tape, with the knobs moving as they are told."""

from collections.abc import Callable
from contextlib import ExitStack
from dataclasses import dataclass, replace
from pathlib import Path

from pedalwright.analysis.memo import Analysis
from pedalwright.circuit.circuit import Circuit
from pedalwright.sound.foot_switch import FootSwitch, bypassed
from pedalwright.sound.gauge import Gauge
from pedalwright.sound.material import Material
from pedalwright.sound.movement import BYPASS, Movement, SwitchMovement
from pedalwright.sound.tape import Tape
from pedalwright.sound.through import RATE_HZ, Player, Tail, through
from pedalwright.sound.wish import Ending, Wish

MakePlayer = Callable[[Circuit, tuple[Movement, ...], Wish], Player]
"""a player of one channel, at RATE_HZ, with all that moves and how finely it is to count"""
Progress = Callable[[int], None]
"""told how many more frames are done"""


@dataclass(frozen=True, slots=True, kw_only=True)
class Part:
    """What is to be played through: a circuit under a name, and what moves in it."""

    label: str
    mark: str
    """for file names: a word"""
    analysis: Analysis
    movements: tuple[Movement, ...] = ()
    is_dry: bool = False


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Played:
    """A take on its tape, in volts, with what went in beside it where that was wanted."""

    part: Part
    tape: Tape
    before: Tape | None
    input: Gauge
    output: Gauge
    ending: Ending
    sound_frames: int
    """how many of its frames the sound itself has; the others are what rang on"""
    remarks: tuple[str, ...]

    @property
    def tail_s(self) -> float:
        """How long it rang on."""
        return max(self.tape.frames - self.sound_frames, 0) / RATE_HZ

    @property
    def seconds(self) -> float:
        """How long it lasts."""
        return self.tape.frames / RATE_HZ


def play(
    part: Part,
    material: Material,
    wish: Wish,
    *,
    make_player: MakePlayer,
    desk: ExitStack,
    folder: Path,
    keep_input: bool,
    progress: Progress,
) -> Played:
    """Play the whole sound through; the tapes lie in `folder` until the desk is cleared."""
    seeds = range(wish.seed, wish.seed + material.channels)
    players = [player_of(part, replace(wish, seed=seed), make_player) for seed in seeds]
    tail, before_gauge = Tail(wish.tail_s), Gauge()
    tape = desk.enter_context(Tape(folder, material.channels))
    before = desk.enter_context(Tape(folder, material.channels)) if keep_input else None
    for in_v, out_v in through(material.blocks(), players, tail):
        before_gauge.hear(in_v)
        tape.add(out_v)
        if before is not None:
            before.add(in_v)
        progress(len(out_v))
    tape.cut(tail.kept_frames)
    return Played(
        part=part,
        tape=tape,
        before=before,
        input=before_gauge,
        output=_gauged(tape),
        ending=_ending(wish, tail),
        sound_frames=tail.end,
        remarks=tuple(dict.fromkeys(said for player in players for said in player.remarks)),
    )


def player_of(part: Part, wish: Wish, make_player: MakePlayer) -> Player:
    """A player of the circuit, or of the bare source into the load, or of both with a foot switch between."""
    circuit = part.analysis.circuit
    if part.is_dry:
        return make_player(bypassed(circuit), (), wish)
    foot = next((one for one in part.movements if _is_foot_switch(one, circuit)), None)
    inside = tuple(one for one in part.movements if one is not foot)
    engaged = make_player(circuit, inside, wish)
    if not isinstance(foot, SwitchMovement):
        return engaged
    return FootSwitch(engaged, make_player(bypassed(circuit), (), wish), foot)


def _is_foot_switch(movement: Movement, circuit: Circuit) -> bool:
    return movement.ref == BYPASS and BYPASS not in circuit.by_ref


def _gauged(tape: Tape) -> Gauge:
    gauge = Gauge()
    for block in tape.blocks():
        gauge.hear(block)
    return gauge


def _ending(wish: Wish, tail: Tail) -> Ending:
    if wish.tail_s is not None:
        return Ending.ASKED
    return Ending.DIED if tail.has_died else Ending.CUT
