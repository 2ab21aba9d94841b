"""The same chip written down a second time, one bit after the other in absolute time, speed disregarded.

Nothing is shared with the program but the figures of a chip: memory as a queue, exponentials made for every
bit, the current as a list of instants at which it changes, its moments by cutting that list into steps.
"""

from bisect import bisect_right
from collections import deque
from collections.abc import Callable
from math import exp

from pedalwright.echo.one_bit.one_chip import OneChip


def instants(bits_per_step: list[float]) -> list[tuple[float, float]]:
    """When the bits fall, in steps from the beginning, and how long each lasts at the rate of its step."""
    found, done, count = [], 0.0, 0
    for step, rate in enumerate(bits_per_step):
        while count + 1 <= done + rate:
            count += 1
            found.append((step + (count - done) / rate, 1 / rate))
        done += rate
    return found


def current(
    chip: OneChip, bits: list[tuple[float, float]], step_s: float, heard_v: Callable[[float], float]
) -> list[tuple[float, float]]:
    """Instants in steps, and the decoder's current from there on; noise is left out."""
    memory = deque(at % 2 for at in range(chip.memory_bits))
    coder, decoder = [0, 1] * 4, [0, 1] * 4
    through = 10 ** (chip.through_gain_db / 20)
    volts, coder_store, decoder_store = 0.0, 0.0, 0.0
    found = []
    for at, lasts in bits:
        bit_s = lasts * step_s
        coder.append(1 if heard_v(at) + chip.offset_v > volts else 0)
        coder_store = _stored(chip, coder, coder_store, chip.coder_store_farads, bit_s)
        goal = chip.coder_ohms * _amperes(chip, coder, coder_store)
        volts = goal + (volts - goal) * _left(bit_s, chip.coder_ohms * chip.coder_farads)
        volts = max(-chip.swing_v, min(chip.swing_v, volts))
        memory.append(coder[-1])
        decoder.append(memory.popleft())
        decoder_store = _stored(chip, decoder, decoder_store, chip.decoder_store_farads, bit_s)
        made_up = 2.0 - _left(bit_s, chip.coder_ohms * chip.coder_farads)
        found.append((at, made_up * through * _amperes(chip, decoder, decoder_store)))
    return found


def moments(changes: list[tuple[float, float]], step: int) -> tuple[float, float]:
    """Mean and first moment over one step."""
    times = [at for at, _ in changes]
    first, last = bisect_right(times, step), bisect_right(times, step + 1)
    edges = [float(step), *times[first:last], step + 1.0]
    values = [changes[at - 1][1] if at else 0.0 for at in range(first, last + 1)]
    pieces = [(a - step, b - step, i) for a, b, i in zip(edges, edges[1:], values, strict=False)]
    return sum(i * (b - a) for a, b, i in pieces), sum(i * (b * b - a * a) / 2 for a, b, i in pieces)


def _stored(chip: OneChip, bits: list[int], store: float, farads: float, bit_s: float) -> float:
    latest = bits[-chip.equal_bits :]
    if all(bit == latest[0] for bit in latest):
        return 1 - (1 - store) * _left(bit_s, chip.attack_ohms * farads)
    return store * _left(bit_s, chip.decay_ohms * farads)


def _amperes(chip: OneChip, bits: list[int], store: float) -> float:
    size = chip.least_step_a + (chip.full_step_a - chip.least_step_a) * store
    return size if bits[-1] else -size


def _left(seconds: float, constant_s: float) -> float:
    return exp(-seconds / constant_s) if constant_s else 0.0
