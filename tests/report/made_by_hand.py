"""Walk-throughs made by hand: no circuit is read or solved for them."""

from dataclasses import replace

import numpy as np

from pedalwright.analysis.records import (
    Certified,
    Curve,
    Effect,
    Level,
    Overall,
    ProofSummary,
    Walk,
    WalkEcho,
    WalkEchoChip,
    WalkEchoKnob,
    WalkEchoMix,
    WalkPart,
    WalkStage,
)
from pedalwright.circuit.ports import SignalInput, SignalOutput, Supply
from pedalwright.circuit.remark import Remark, Severity
from pedalwright.circuit.span import Span
from pedalwright.solve.corners import Dip
from pedalwright.stages.stage import Number

HERE = Span(3, 1, 7)
FREQUENCY_HZ = np.geomspace(5.0, 50e3, 41)
LOW_PASS_DB = -10 * np.log10(1 + (FREQUENCY_HZ / 3386.0) ** 2)
"""one pole at 1/(2 pi 1 kohm 47 nF), written down by hand"""

PROOF = ProofSummary(
    v1=3e-15,
    v1_bound=1e-9,
    missing=(),
    idle=(),
    bias_shift=0.004,
    amplifier_shift=0.0002,
    confirmed=True,
    verdict="Confirmed: the formula agrees with the whole circuit.",
)
DOUBTED = replace(
    PROOF, v1=0.2, confirmed=False, verdict="Not confirmed: R9 acts on it too.", missing=("R9",)
)

RESISTOR = WalkPart(
    ref="R1",
    label="1 kΩ",
    role="series resistor",
    says="Stands between the signal and the capacitor.",
    also=(("inverting-amplifier", "input resistor"),),
    larger=Effect(value_text="1k2", changes=("the corner moves from 3.39 kHz to 2.82 kHz",), below="0.1 dB"),
    smaller=Effect(value_text="820R", changes=(), below="0.1 dB"),
    line=7,
)
CAPACITOR = replace(
    RESISTOR,
    ref="C10",
    label="47 nF",
    role="shunt capacitor",
    also=(),
    larger=Effect(value_text="68n", changes=(), below="0.1 dB"),
    smaller=Effect(value_text="33n", changes=(), below="0.1 dB"),
)
LEVEL = Level(
    net="OUT",
    frequency_hz=1000.0,
    level_v=0.25,
    limit_v=3.5,
    headroom_db=22.9,
    limited_by="U1a reaching the positive rail",
)

FILTER = WalkStage(
    name="rc-low-pass 1",
    kind="rc-low-pass",
    title="RC low-pass",
    heading="Signal path",
    section="Input",
    says="Lets the bass through and takes the treble away.",
    purpose="Here treble falls above 3.39 kHz.",
    inputs=("IN",),
    output="OUT",
    parts=(RESISTOR, CAPACITOR),
    numbers=(
        Number(name="corner", unit="Hz", closed=3386.0, full=3400.0, source="f = 1/(2 pi R C)"),
        Number(name="gain", unit="dB", closed=0.0, full=-0.2, source="divider", note="at 1 kHz"),
        Number(name="turned", unit="x", closed=-2.0, full=None, source=""),
    ),
    formula="H = 1/(1 + s R C)",
    formula_source="Coughlin and Driscoll, ch. 11",
    curves=(
        Curve(title="IN to OUT", frequency_hz=FREQUENCY_HZ, full_db=LOW_PASS_DB - 0.2, closed_db=LOW_PASS_DB),
    ),
    levels=(LEVEL,),
    input_ohms=1000.0,
    output_ohms=994.0,
    proof=PROOF,
    beside=("The first repeat arrives here.",),
)
RAIL = replace(
    FILTER,
    name="reservoir 1",
    kind="reservoir",
    title="Reservoir",
    heading="Supply",
    inputs=(),
    output="VA",
    parts=(replace(CAPACITOR, ref="C2", label="100 µF", role="reservoir capacitor"),),
    numbers=(),
    formula="",
    curves=(),
    levels=(),
    input_ohms=None,
    output_ohms=None,
    proof=replace(PROOF, v1=None, verdict="No signal gain to prove."),
)

ECHO = WalkEcho(
    reference_hz=1000.0,
    chips=(
        WalkEchoChip(
            chip="U1",
            delay_s=0.3,
            low_s=0.28,
            high_s=0.32,
            within_table=True,
            shortest_s=0.05,
            longest_s=0.6,
            time_ohms=24e3,
            least_ohms=2e3,
            start="sure",
            coder_peak_v=0.4,
            coder_room_db=12.9,
        ),
    ),
    knobs=(
        WalkEchoKnob(
            knob="REPEATS",
            position=5.0,
            comes_back=0.25,
            peak_hz=500.0,
            margin_db=12.0,
            fully_up=0.9,
            fully_up_margin_db=0.9,
            runs_away_from=None,
            howl_hz=None,
            builds=200,
            share_running_away=0.1,
            share_running_away_now=0.0,
            wet_change_db=0.5,
        ),
    ),
    mixes=(
        WalkEchoMix(
            stage="rc-low-pass 1",
            dry_net="DRY",
            wet_net="WET",
            dry_parts=("R1",),
            wet_parts=("R2",),
            dry_ohms=100e3,
            wet_ohms=33e3,
            dry_weight=0.5,
            wet_weight=1.5,
            dry_level_db=6.0,
            wet_level_db=-14.0,
        ),
    ),
    first_s=0.3,
    against_dry_db=-10.5,
    side=-1,
    comes_again=True,
    heard=5,
    last_heard_s=1.5,
)

WALK = Walk(
    title="By Hand",
    about=("A filter and its rail.",),
    text_sha256="0" * 64,
    settings=(("TONE", "5.0"),),
    overall=Overall(
        reference_hz=1000.0,
        gain_db=-0.36,
        low_corner_hz=None,
        high_corner_hz=3400.0,
        input_ohms=1e6,
        output_ohms=994.0,
        supply_a=(("VIN", 0.0042),),
        curve=Curve(title="jack to jack", frequency_hz=FREQUENCY_HZ, full_db=LOW_PASS_DB, closed_db=None),
        notes=("The delayed sound is not in these figures.",),
        repeats_db=(("U1", -6.4),),
        dips=(Dip(frequency_hz=560.0, depth_db=6.6),),
    ),
    stages=(RAIL, FILTER),
    unstaged=(("J1", "jack", "jack"), ("U1", "TL072", "amplifier package")),
    loops=(("rc-low-pass 1", "reservoir 1"),),
    rest_volts=(("gnd", 0.0), ("VA", 8.7)),
    certificates=(
        Certified(
            what="resting voltages", residual=1e-16, bound=1e-9, condition=120.0, method="gain steps", ok=True
        ),
    ),
    cautions=(
        Remark(
            code="net.ground-spelling",
            span=HERE,
            what="GND is read as ground.",
            why="Ground is written gnd.",
            cure="Write gnd.",
            severity=Severity.CAUTION,
        ),
    ),
    source=SignalInput(net="IN", source="pickup", ohms=7e3, level_v=0.5, span=HERE),
    load=SignalOutput(net="OUT", ohms=1e6, span=HERE),
    supplies=(Supply(net="VIN", volts=9.0, source="wall", low_v=9.0, high_v=9.0, span=HERE),),
    echo=ECHO,
)


def doubtful() -> Walk:
    """The same with a stage that is not confirmed."""
    return replace(WALK, stages=(RAIL, replace(FILTER, proof=DOUBTED)))


def uncertified() -> Walk:
    """What is left of it when the solution could not be certified."""
    overall = replace(
        WALK.overall,
        gain_db=None,
        high_corner_hz=None,
        input_ohms=None,
        output_ohms=None,
        supply_a=(),
        curve=None,
    )
    bare = replace(FILTER, curves=(), levels=(), input_ohms=None, output_ohms=float("nan"), parts=())
    refused = replace(WALK.certificates[0], ok=False, residual=float("nan"))
    return replace(
        WALK,
        overall=overall,
        stages=(bare,),
        rest_volts=(),
        certificates=(refused,),
        refusals=("Resting voltages are not printed: not certified.",),
        source=None,
        load=None,
    )


def saying(text: str) -> Walk:
    """The walk-through with `text` in every place that takes text from a circuit."""
    part = replace(RESISTOR, ref=text, label=text, role=text, says=text, also=((text, text),))
    part = replace(part, larger=Effect(value_text=text, changes=(text,), below=text))
    stage = replace(
        FILTER,
        name=text,
        kind=text,
        title=text,
        heading=text,
        section=text,
        says=text,
        purpose=text,
        inputs=(text, text),
        output=text,
        parts=(part,),
        numbers=(Number(name=text, unit="Hz", closed=1.0, full=2.0, source=text, note=text),),
        formula=text,
        formula_source=text,
        curves=(replace(FILTER.curves[0], title=text),),
        levels=(replace(LEVEL, net=text, limited_by=text),),
        proof=replace(DOUBTED, verdict=text, missing=(text,)),
    )
    remark = Remark(code=text, span=HERE, what=text, why=text, cure=text)
    return replace(
        WALK,
        title=text,
        about=(text,),
        text_sha256=text,
        settings=((text, text),),
        overall=replace(WALK.overall, notes=(text,), supply_a=((text, 0.1),)),
        stages=(stage,),
        unstaged=((text, text, text),),
        loops=((text,),),
        rest_volts=((text, 1.0),),
        certificates=(replace(WALK.certificates[0], what=text, method=text),),
        cautions=(remark,),
        refusals=(text,),
        source=SignalInput(net=text, source=text, ohms=1.0, level_v=1.0, span=HERE),
        load=SignalOutput(net=text, ohms=1.0, span=HERE),
        supplies=(Supply(net=text, volts=9.0, source=text, low_v=9.0, high_v=9.0, span=HERE),),
    )
