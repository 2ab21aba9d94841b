"""The loop that plays: knobs, chips, circuit, cells, step by step, compiled.

A chip gives the decoder's current over a step before the circuit makes the step, out of bits coded a whole
delay ago; what the circuit then says at pin 15 is heard by the coder two steps later, because the cubic
between two samples needs one more on either side.
"""

import numpy as np

from pedalwright.echo.one_bit.pass_step import pass_step
from pedalwright.solve.arrays import FloatArray, IndexArray
from pedalwright.solve.compiled import compiled, compiled_inline
from pedalwright.solve.time.running import cubic
from pedalwright.solve.time.steps import step
from pedalwright.solve.time.tables import Machine, State
from pedalwright.sound.surroundings import Along, Going


@compiled_inline
def row_v(s: State, row: int, rest_v: float) -> float:
    """The voltage of a row; that at rest for a row that never moves."""
    return rest_v + s.rows[row] if row >= 0 else rest_v


@compiled
def bits_a_step(ohms: float, along: Along, which: int) -> float:
    """The clock's rate with a resistance at the time pin.

    The delay law between its corners, carried on straight.
    """
    if not 0.0 <= ohms < np.inf:
        return 0.0
    low, high = 0, len(along.ohms) - 1
    while high - low > 1:
        middle = (low + high) // 2
        if along.ohms[middle] <= ohms:
            low = middle
        else:
            high = middle
    share = (ohms - along.ohms[low]) / (along.ohms[high] - along.ohms[low])
    delay = along.delay_s[low] + max(share, 0.0) * (along.delay_s[high] - along.delay_s[low])
    left = delay * along.factor[which] - along.lag_s
    return float(along.step_s / left)


@compiled_inline
def clock(s: State, along: Along, going: Going, which: int) -> float:
    """Bits of a chip in the step to come."""
    count = float(going.bits.bits[which])
    if along.rate[which] >= 0.0:
        return float(along.rate[which])
    pin = row_v(s, along.pin[which], along.pin_rest_v[which])
    half = 0.5 * row_v(s, along.supply[which], along.supply_rest_v[which])
    amperes = (half - pin) / along.pin_ohms
    ohms = pin / amperes if amperes > 0.0 else np.inf
    return count * bits_a_step(ohms, along, which)


@compiled_inline
def pass_chips(s: State, along: Along, going: Going) -> None:
    """All chips through a step: their decoders' currents become inputs of the circuit."""
    for k in range(len(along.sound)):
        mean, moment = pass_step(
            along.chips, going.bits, k, clock(s, along, going, k),
            going.heard[k, 0], going.heard[k, 1], going.heard[k, 2], going.heard[k, 3],
        )  # fmt: skip
        drive = along.drive[k]
        s.drive[drive, 0] = 4.0 * mean - 6.0 * moment
        s.drive[drive, 1] = 12.0 * moment - 6.0 * mean


@compiled_inline
def hear(s: State, along: Along, going: Going) -> None:
    """Note what each chip's coder is to hear."""
    for k in range(len(along.sound)):
        for back in range(3):
            going.heard[k, back] = going.heard[k, back + 1]
        going.heard[k, 3] = row_v(s, along.sound[k], along.sound_rest_v[k])


@compiled
def shine(rows: FloatArray, figures: FloatArray, along: Along) -> None:
    """Let every light-dependent resistor follow its lamp: quickly to the bright, slowly to the dark."""
    for k in range(len(along.cell)):
        row = along.lamp[k]
        amperes = (along.lamp_rest_v[k] + (rows[row] if row >= 0 else 0.0)) / along.lamp_ohms[k]
        lit = min(max(amperes, along.light[4]), along.light[5])
        goal = along.light[1] * (lit / along.light[0]) ** along.light[2] + along.light[3]
        if amperes <= along.light[4]:
            goal = goal * max(amperes, 0.0) / along.light[4] + along.light[3]
        now = figures[along.cell[k], 0]
        time_s = along.light[6] if goal > now else along.light[7]
        figures[along.cell[k], 0] = now * (goal / now) ** (along.step_s / time_s)


@compiled
def play_steps(
    m: Machine,
    s: State,
    along: Along,
    going: Going,
    signals: FloatArray,
    asked: IndexArray,
    told: FloatArray,
    first: int,
) -> int:
    """Steps driven by `signals` (sources, steps + 3).

    Writes the rows `asked` after each into `told` (steps, asked). Sample k + 1 is the drive where step k
    begins. Begins at step `first`; gives the step that could not be made, or their number.
    """
    for n in range(first, len(told)):
        for d in range(len(signals)):
            cubic(signals[d, n], signals[d, n + 1], signals[d, n + 2], signals[d, n + 3], s.drive, d)
        for k in range(len(along.moving)):
            s.figures[along.moving[k], 0] += going.change[k]
        pass_chips(s, along, going)
        if not step(m, s):
            return n
        hear(s, along, going)
        if len(along.cell) > 0:
            shine(s.rows, s.figures, along)
        for k in range(len(asked)):
            told[n, k] = s.rows[asked[k]]
    return len(told)
