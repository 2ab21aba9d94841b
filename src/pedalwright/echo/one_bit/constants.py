"""The constants of the one-bit coder and decoder: seven of the chip, and what bounds or disturbs it.

What each rests on stands beside its figure in the device (`pedalwright.devices.kinds.echo_chip.FIGURES`) and
in the manual's page on the chip's sound. None was tuned to a test here: where the published fit gives a
range, the geometric mean of its ends is taken, once and for all. The capacitors are not among them; they come
from the circuit.
"""

from pedalwright.devices.kinds.echo_chip import FIGURES
from pedalwright.echo.figures import value

INTEGRATOR_OHMS = FIGURES["integrator_ohms"].value
"""1: from output to inverting input of both integrators"""
FULL_STEP_A = FIGURES["full_step_a"].value
"""2: the current of a bit when the store is full"""
LEAST_STEP_A = FIGURES["least_step_a"].value
"""3: the same when the store is empty"""
ATTACK_OHMS = FIGURES["attack_ohms"].value
"""4: times the store's capacitor, how fast it fills"""
DECAY_OHMS = FIGURES["decay_ohms"].value
"""5: times the store's capacitor, how fast it empties"""
EQUAL_BITS = int(FIGURES["equal_bits"].value)
"""6: so many equal bits in a row, and the store fills"""
MEMORY_BITS = int(FIGURES["memory_bits"].value)
"""7: how many bits the memory holds"""

OFFSET_V = FIGURES["comparator_offset_v"].value
"""what the comparator is off by"""
COMPARATOR_NOISE_V = FIGURES["comparator_noise_v"].value
"""rms of the comparator's own noise"""
SWING_V = FIGURES["integrator_swing_v"].value
"""where the coder's integrator stops, either way from the reference"""

THROUGH_GAIN_DB = FIGURES["through_gain_db"].value
"""from coder to decoder, as the small-signal analysis of the loop has it"""
MOST_THROUGH_GAIN_DB = FIGURES["most_through_gain_db"].value
UNIT_SPREAD = value("unit_spread")
"""of the delay from chip to chip, either way"""
MUTE_S = value("mute_s")
"""after switch-on, until the sound is up"""
LEAST_START_OHMS = FIGURES["least_start_ohms"].value
"""at the time pin at switch-on; with less the clock does not start"""
INTEGRATOR_FARADS = 100e-9
STORE_FARADS = 100e-9
"""what the maker draws in the delay circuit of the data sheet: where no circuit says otherwise"""
