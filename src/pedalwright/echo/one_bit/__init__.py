"""The echo chip in time: coder, memory and decoder, bit by bit, at the chip's own clock.

Only `pass_step` and `through` need the compiler; import them where they are used.
"""
