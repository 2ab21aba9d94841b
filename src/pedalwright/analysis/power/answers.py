"""Everything about the supply side of one circuit, as the verb tells it."""

from dataclasses import dataclass
from hashlib import sha256

from pedalwright.analysis.memo import Analysis
from pedalwright.analysis.power.abusing import abuse
from pedalwright.analysis.power.battery import battery_life
from pedalwright.analysis.power.budgeting import budget
from pedalwright.analysis.power.gulp import inrush
from pedalwright.analysis.power.heating import heat
from pedalwright.analysis.power.rated import ratings
from pedalwright.analysis.power.records import (
    AbuseCase,
    BatteryLife,
    Heat,
    Inrush,
    PowerBudget,
    Settling,
    Strain,
)
from pedalwright.analysis.power.settling import settling


@dataclass(frozen=True, slots=True, kw_only=True)
class PowerAnswers:
    """All answers; `strained` are the ratings exceeded while everything works as it should."""

    title: str
    text_sha256: str
    settings: tuple[tuple[str, str], ...]
    budget: PowerBudget
    heat: tuple[Heat, ...]
    strained: tuple[Strain, ...]
    battery: BatteryLife | None
    settling: tuple[Settling, ...]
    inrush: Inrush | None
    abuse: tuple[AbuseCase, ...]

    @property
    def is_sound(self) -> bool:
        """Whether every answer could be certified."""
        solved = all(case.certified for case in self.abuse)
        return not self.budget.refusals and solved and (self.inrush is None or self.inrush.certified)


def power_answers(analysis: Analysis) -> PowerAnswers:
    """Ask everything."""
    circuit = analysis.circuit
    return PowerAnswers(
        title=circuit.title,
        text_sha256=sha256(analysis.text.encode("utf-8")).hexdigest() if analysis.text else "",
        settings=tuple((part.ref, str(part.setting)) for part in (*circuit.knobs, *circuit.switches)),
        budget=budget(analysis),
        heat=heat(analysis),
        strained=tuple(one for one in ratings(analysis) if one.factor > 1.0),
        battery=battery_life(analysis),
        settling=settling(analysis),
        inrush=inrush(analysis),
        abuse=abuse(analysis),
    )
