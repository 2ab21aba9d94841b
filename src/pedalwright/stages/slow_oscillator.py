"""The pair that makes a triangle: a Schmitt trigger and an integrator, each driving the other."""

from collections.abc import Iterable
from dataclasses import dataclass

from pedalwright.formulas.oscillator import triangle_wave_hz
from pedalwright.stages.bench import Bench
from pedalwright.stages.branch import passes_dc, sorts
from pedalwright.stages.network import AmplifierNetwork
from pedalwright.stages.stage import Number, Stage
from pedalwright.stages.wording import hz, plain_resistance

SOURCE = (
    "Floyd, Electronic Devices, ch. 16; Franco, Design with Operational Amplifiers, ch. 10: f = R2 / (4 "
    "R3 R C)"
)


@dataclass(frozen=True, slots=True, kw_only=True)
class TriangleLoop:
    """A trigger and an integrator in a loop; resistances in ohms, capacitance in farads."""

    trigger: str
    integrator: str
    ohms: float
    farads: float
    square_ohms: float
    triangle_ohms: float

    @property
    def frequency_hz(self) -> float:
        """Frequency for equal output swing both ways [Hz]."""
        return triangle_wave_hz(
            ohms=self.ohms,
            farads=self.farads,
            square_ohms=self.square_ohms,
            triangle_ohms=self.triangle_ohms,
        )

    @property
    def runs(self) -> bool:
        """The triangle is large enough to turn the trigger: R3 below R2."""
        return self.triangle_ohms < self.square_ohms


def triangle_loops(bench: Bench) -> Iterable[TriangleLoop]:
    """Every such pair in a circuit."""
    for trigger in bench.networks.values():
        if trigger.has_negative_feedback or not trigger.has_positive_feedback:
            continue
        for integrator in bench.networks.values():
            found = _pair(bench, trigger, integrator)
            if found is not None:
                yield found


def _pair(bench: Bench, trigger: AmplifierNetwork, integrator: AmplifierNetwork) -> TriangleLoop | None:
    square, slope = trigger.amplifier, integrator.amplifier
    back = trigger.joined(square.non, square.out)
    onward = trigger.joined(square.non, slope.out)
    into, across = integrator.joined(slope.inv, square.out), integrator.feedback
    if back is None or onward is None or into is None or across is None or not integrator.non_still:
        return None
    if (
        "C" not in sorts(across)
        or "D" in sorts(into) | sorts(across)
        or not all(map(passes_dc, (back, onward, into)))
    ):
        return None
    if not bench.classes.is_still(square.inv):
        return None
    return TriangleLoop(
        trigger=square.ref,
        integrator=slope.ref,
        ohms=plain_resistance(into),
        farads=sum(leaf.value for leaf in across.leaves() if leaf.sort == "C"),
        square_ohms=plain_resistance(back),
        triangle_ohms=plain_resistance(onward),
    )


def triangle_of(stage: Stage, bench: Bench) -> TriangleLoop | None:
    """The pair a stage belongs to, as trigger or as integrator."""
    section = stage.with_role("amplifier")[0]
    return next((loop for loop in triangle_loops(bench) if section in (loop.trigger, loop.integrator)), None)


def triangle_number(stage: Stage, bench: Bench) -> tuple[Number, ...]:
    """The frequency of the triangle, when the stage belongs to such a pair."""
    loop = triangle_of(stage, bench)
    if loop is None or not loop.runs:
        return ()
    note = "for equal output swing both ways"
    return (
        Number(name="frequency", unit="Hz", closed=loop.frequency_hz, full=None, source=SOURCE, note=note),
    )


def triangle_words(stage: Stage, bench: Bench) -> str:
    """One sentence on the frequency and height of the triangle; empty without such a pair."""
    loop = triangle_of(stage, bench)
    if loop is None:
        return ""
    if not loop.runs:
        return (
            "The triangle is too small to turn the trigger, so it would stand still: the resistor from "
            "the triangle must be smaller than the one from the square."
        )
    share = 100 * loop.triangle_ohms / loop.square_ohms
    return (
        f"Together {loop.trigger} and {loop.integrator} run at {hz(loop.frequency_hz)}, one cycle in "
        f"{1 / loop.frequency_hz:.3g} s; the triangle is {share:.0f} % as high as the square."
    )
