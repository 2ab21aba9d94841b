"""What will be heard, told from the computed figures in words for the cover."""

from collections.abc import Iterable

from pedalwright.analysis.headroom import first_to_clip
from pedalwright.report.figures import figure
from pedalwright.report.knobs_sentences import said
from pedalwright.report.pack.dossier import Dossier
from pedalwright.report.repeats_sentences import opening as echo_opening
from pedalwright.report.walk_sentences import opening as walk_opening

SOFT_V, HARD_V = 0.3, 1.0
"""peaks of a guitar picked softly and hard (common practice, no source)"""
MOVING = ("rate", "pitch", "swing")


def heard_in_words(dossier: Dossier) -> tuple[str, ...]:
    """A few sentences: level and tone, clipping, echo, movement; none where nothing is certified."""
    return tuple(filter(None, (*_plain(dossier), *_clipping(dossier), *_echo(dossier), *_moving(dossier))))


def _plain(dossier: Dossier) -> Iterable[str]:
    overall = dossier.walk.overall
    if overall.gain_db is not None:
        yield walk_opening(dossier.walk)[-1]


def _clipping(dossier: Dossier) -> Iterable[str]:
    rung = first_to_clip(dossier.ladder, meant=True)
    if rung is None or rung.clips_from_v is None:
        return
    peak = rung.clips_from_v
    when = (
        "even soft playing"
        if peak < SOFT_V
        else "hard playing"
        if peak < HARD_V
        else "only the hottest signal"
    )
    yield f"It is meant to distort: {when} is clipped, from {figure(peak, 'V')} peak at the input on."


def _echo(dossier: Dossier) -> Iterable[str]:
    if dossier.echo is None:
        return
    yield from list(echo_opening(dossier.echo))[:2]
    highs = [one.corners.high_hz if one.corners else None for one in dossier.echo.repeats[:2]]
    if highs and highs[0] is not None:
        later = f", the second up to {figure(highs[1], 'Hz')}" if len(highs) > 1 and highs[1] else ""
        yield f"The first repeat has its treble up to {figure(highs[0], 'Hz')}{later}."


def _moving(dossier: Dossier) -> Iterable[str]:
    for answer in dossier.knobs:
        for heard in answer.heard[:1]:
            if heard.sort in MOVING:
                ends = f"{said(heard.at_0, heard.unit)} to {said(heard.at_10, heard.unit)}"
                what = heard.name.removeprefix("the ")
                yield f"It moves by itself: {answer.ref} takes the {what} from {ends}."
