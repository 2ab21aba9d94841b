"""The family of rules: every file of every folder in `rules`, in the order of their codes."""

from collections.abc import Mapping
from functools import cache

from pedalwright.registry import FamilyError, load_family
from pedalwright.review.rule import Rule

FOLDERS: Mapping[str, str] = {
    "supply": "S",
    "bias": "B",
    "signal": "L",
    "echo_chip": "E",
    "knobs": "K",
    "switching": "P",
    "nets": "N",
    "safety": "H",
    "brief": "W",
}
"""folder -> the letter its codes begin with"""
TITLES: Mapping[str, str] = {
    "supply": "Supply, polarity and heat",
    "bias": "Resting voltages",
    "signal": "Levels and loads",
    "echo_chip": "The echo chip",
    "knobs": "Knobs",
    "switching": "Switching",
    "nets": "Connections and values",
    "safety": "Safety",
    "brief": "The brief",
}


@cache
def rules() -> tuple[Rule, ...]:
    """Every rule, folder by folder, codes in order. Raises FamilyError for a code out of its folder."""
    return tuple(rule for folder in FOLDERS for rule in rules_in(folder))


@cache
def rules_in(folder: str) -> tuple[Rule, ...]:
    """The rules of one folder, in the order of their codes."""
    found = load_family(f"pedalwright.review.rules.{folder}", Rule, "RULE", key="code")
    for rule in found:
        if rule.code[:1] != FOLDERS[folder] or not rule.code[1:].isdigit():
            raise FamilyError(f"{rule.name} has the code {rule.code}, which does not belong in {folder}.")
    return tuple(sorted(found, key=lambda rule: int(rule.code[1:])))


@cache
def by_code() -> Mapping[str, Rule]:
    """Every rule under its code."""
    return {rule.code: rule for rule in rules()}


def rule_named(word: str) -> Rule | None:
    """The rule with that code or name, capitals not minded; None when there is none."""
    wanted = word.strip().lower()
    return next((rule for rule in rules() if wanted in (rule.code.lower(), rule.name)), None)


def folder_of(rule: Rule) -> str:
    """The folder a rule is in."""
    return next(folder for folder, letter in FOLDERS.items() if rule.code.startswith(letter))
