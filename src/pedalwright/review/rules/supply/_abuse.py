"""Wrong supplies, solved once for the rules that tell of them."""

from pedalwright.analysis.power.records import AbuseCase
from pedalwright.review.rules.supply._backwards import all_forwards
from pedalwright.review.survey import Survey


def cases(survey: Survey) -> tuple[AbuseCase, ...]:
    """Reversed, 12 V, 18 V, 9 V AC and every regulator turned; CannotSay where one is already."""
    from pedalwright.analysis.power.abusing import abuse

    all_forwards(survey)
    return survey.once("abuse", lambda: abuse(survey.analysis))
