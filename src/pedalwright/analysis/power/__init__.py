"""The supply side of a pedal: what it draws, what gets hot, what a wrong supply breaks, how long a battery
lasts, and how long it takes to settle.

Each question is a function of an Analysis and cheap once the rest point is there.
"""

from pedalwright.analysis.power.abusing import abuse
from pedalwright.analysis.power.battery import battery_life
from pedalwright.analysis.power.budgeting import budget
from pedalwright.analysis.power.gulp import inrush
from pedalwright.analysis.power.headroom import Headroom, headrooms
from pedalwright.analysis.power.heating import heat
from pedalwright.analysis.power.rated import ratings
from pedalwright.analysis.power.records import (
    AbuseCase,
    Adaptor,
    BatteryLife,
    Cell,
    Failing,
    Heat,
    Inrush,
    Load,
    PowerBudget,
    Rail,
    Settling,
    Spread,
    Strain,
)
from pedalwright.analysis.power.settling import settling

__all__ = [
    "AbuseCase",
    "Adaptor",
    "BatteryLife",
    "Cell",
    "Failing",
    "Headroom",
    "Heat",
    "Inrush",
    "Load",
    "PowerBudget",
    "Rail",
    "Settling",
    "Spread",
    "Strain",
    "abuse",
    "battery_life",
    "budget",
    "headrooms",
    "heat",
    "inrush",
    "ratings",
    "settling",
]
