"""A small echo pedal for trials: one chip, its filters, and a mixer."""

CHIP = """
supply V5 5V wall
part U2 echo-chip supply=V5
U2.2 > C30 47u (electrolytic, 10V) > gnd
U2.8 > C31 100n (ceramic) > gnd
U2.7 > C32 100n (ceramic) > gnd
U2.9 > C33 100n (film) > U2.10
U2.12 > C34 100n (film) > U2.11
U2.6 > R30 10k > gnd
DRY > C35 1u (film) > R31 15k > TAKE
TAKE > R32 10k > U2.16
TAKE > R33 15k > U2.15
TAKE > C36 4n7 (film) > gnd
U2.16 > C37 560p (film) > U2.15
U2.12 > R34 15k > STEPS > R35 10k > U2.13
STEPS > R36 15k > U2.14
STEPS > C38 4n7 (film) > gnd
U2.13 > C39 560p (film) > U2.14
U2.14 > C40 1u (film) > WET
"""
MIXER = """
U1a.out > U1a.inv
U1a.out > DRY
DRY > R40 {dry} > U1b.inv
WET > R41 {wet} > U1b.inv
U1b.inv > R42 100k > U1b.out
U1b.non > VB
"""


def mixer(*, dry: str = "100k", wet: str = "100k") -> str:
    """The middle of a pedal: chip and mixer with these resistors."""
    return CHIP + MIXER.format(dry=dry, wet=wet)
