"""Sound texts for spoiling; together they hold every statement and most kinds of parts."""

ECHO = """\
pedal   Cellar Door
about   A dark echo, 90 ms to 600 ms.
supply  VIN 9V wall 8V..9.6V
input   IN pickup
output  OUT 1M

part    U1 dual-opamp TL072 v+=VA v-=gnd
part    U2 echo-chip supply=V5
part    U3 regulator 5V in=VA out=V5 gnd=gnd
knob    TIME 50k linear at 5
knob    REPEATS 50k audio
switch  TAIL on off at on

section Power
VIN > D1 1N5817 > R1 33 > VA > C1 100u (electrolytic, 16V) > gnd
VA > R2 10k > VB > R3 10k > gnd
VB > C2 47u > gnd     # half the supply
V5 > C8 100n || C9 47u > gnd

section Dry
IN > R4 1M > gnd
IN > C3 47n > R5 220k > U1a.inv
U1a.inv > R6 470k || C4 22p > U1a.out
VB > U1a.non > U1b.non
U1a.out > R7 15k > MIX > R8 15k > U1b.inv
U1b.inv > R9 15k > U1b.out > C5 1u > R10 100 > OUT

section Echo
U1a.out > C6 1u > R11 15k > NODE > R12 10k > U2.16
NODE > R13 10k > U2.15
NODE > C10 3n9 > gnd
U2.16 > C11 560p > U2.15
U2.9 > C12 100n > U2.10
U2.12 > C13 100n > U2.11
U2.7 > C14 100n > gnd
U2.8 > C15 100n > gnd
U2.2 > C16 47u > gnd
U2.6 > R14 2k2 > TIME.3
TIME.2 > TIME.1 > gnd
U2.12 > R15 10k > U2.13 > R16 15k || C17 560p > U2.14
U2.14 > C18 10u > REPEATS.3
REPEATS.1 > gnd
REPEATS.2 > R17 10k > NODE
U2.14 > R18 22k > TAIL.common
TAIL.on > MIX

want    delay.min < 95ms
want    dry.gain = 6dB +- 1dB
point   VB half the supply
"""

FUZZ = """\
pedal  Gravel
supply VIN 9V battery 7V..9.6V
input  IN 10k 1V
output OUT 100k
knob   DRIVE 100k reverse-audio at 7.5
trim   BIAS 10k linear
switch CLIP soft none hard at soft poles=2
part   Q1 npn 2N3904 b=B c=K e=E
part   Q2 n-jfet J201 g=G d=VIN s=S
VIN > BIAS.3
BIAS.2 > BIAS.1
BIAS.1 > R1 4k7 > K > C2 1u > CLIPa.common
IN > C1 100n > B
VIN > R2 470k > B > R3 100k > gnd
E > DRIVE.1
DRIVE.2 > DRIVE.3
DRIVE.3 > C3 10u > gnd
E > R4 1k > gnd
CLIPa.soft > D1 1N4148 > gnd
gnd > D2 1N4148 > CLIPa.soft
CLIPa.hard > D3 red (led) > gnd
CLIPa.common > C4 100n > G > R5 1M > gnd
S > R6 10k > gnd
S > C5 1u > OUT
CLIPb.common > L1 100m > D4 5V1 (zener) > gnd
VIN > D5 green (led) > R7 4k7 > gnd
"""

TEXTS = (ECHO, FUZZ)
