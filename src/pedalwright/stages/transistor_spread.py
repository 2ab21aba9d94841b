"""What becomes of a resting point when the transistor is another one of its type."""

from pedalwright.stages.transistor_rest import (
    Rest,
    channel_card,
    is_germanium,
    rest_by_hand,
)
from pedalwright.stages.transistor_shape import ends_of
from pedalwright.stages.transistor_words import Reading

SILICON_BETAS, GERMANIUM_BETAS = (100.0, 400.0), (40.0, 160.0)
"""between these the current gain of small transistors usually lies (common practice, no source)"""
LOW_SPREAD, HIGH_SPREAD = 0.6, 1.4
"""how far a pinch-off or threshold voltage strays from its type's middle (from memory)"""


def spread_says(reading: Reading) -> str:
    """What becomes of the resting point with another transistor of the same type."""
    bench, network = reading.bench, reading.network
    top, bottom = ends_of(network.cluster)
    word = bottom if network.output_at_bottom else top
    if reading.bipolar:
        betas = GERMANIUM_BETAS if is_germanium(network.cluster.lead) else SILICON_BETAS
        ends = [rest_by_hand(bench, network, beta=beta) for beta in betas]
        what = f"Between transistors with current gains of {betas[0]:.0f} and {betas[1]:.0f}"
    else:
        ends = [rest_by_hand(bench, network, spread=spread) for spread in (LOW_SPREAD, HIGH_SPREAD)]
        name = "pinch-off voltage" if channel_card(network.cluster.lead).threshold_v < 0 else "threshold"
        what = f"With a {name} 40 % lower or higher than the type's"
    if reading.rest is None or reading.rest.way == "driven" or not any(_is_usable(end) for end in ends):
        return ""
    low, high = (_stand(end, word == bottom) for end in ends)
    return f" {what} the {word} rests at {low} or {high}, by hand."


def _is_usable(rest: Rest | None) -> bool:
    return rest is not None and not rest.saturated


def _stand(rest: Rest | None, at_bottom: bool) -> str:
    if rest is None:
        return "no useful voltage (no current flows)"
    if rest.saturated:
        return "no useful voltage (fully on)"
    return f"{rest.bottom_v if at_bottom else rest.top_v:.2f} V"
