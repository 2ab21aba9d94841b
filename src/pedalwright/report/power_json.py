"""The supply side as JSON, schema ``pedalwright.power/1``."""

from typing import Any

from pedalwright.analysis.power.answers import PowerAnswers
from pedalwright.analysis.power.records import (
    AbuseCase,
    Adaptor,
    BatteryLife,
    Failing,
    Heat,
    Inrush,
    PowerBudget,
    Rail,
    Settling,
    Spread,
    Strain,
)
from pedalwright.report.plain_data import json_text, number

SCHEMA = "pedalwright.power/1"


def power_json(answers: PowerAnswers) -> str:
    """The JSON text."""
    return json_text(power_data(answers))


def power_data(answers: PowerAnswers) -> dict[str, Any]:
    """The supply side as plain data."""
    return {
        "schema": SCHEMA,
        "title": answers.title,
        "text_sha256": answers.text_sha256,
        "settings": dict(answers.settings),
        "sound": answers.is_sound,
        **_budget(answers.budget),
        "battery": _battery(answers.battery),
        "settling": [_settling(one) for one in answers.settling],
        "inrush": _inrush(answers.inrush),
        "heat": [_heat(one) for one in answers.heat],
        "strained": [_strain(one) for one in answers.strained],
        "abuse": [_case(one) for one in answers.abuse],
    }


def _spread(spread: Spread) -> dict[str, float | None]:
    return {"least": number(spread.least), "typical": number(spread.typical), "most": number(spread.most)}


def _budget(found: PowerBudget) -> dict[str, Any]:
    ranges = {net: (low, high) for net, low, high in found.range_v}
    return {
        "supplies": [
            {
                "net": net,
                "low_v": number(ranges[net][0]),
                "high_v": number(ranges[net][1]),
                "amps": _spread(amps),
            }
            for net, amps in found.supply_a
        ],
        "range_stated": found.range_stated,
        "adaptor": _adaptor(found.adaptor),
        "rails": [_rail(rail) for rail in found.rails],
        "notes": list(found.notes),
        "refusals": list(found.refusals),
    }


def _adaptor(found: Adaptor | None) -> dict[str, Any] | None:
    if found is None:
        return None
    return {
        "net": found.net,
        "label": found.label,
        "volts": number(found.volts),
        "most_a": number(found.most_a),
        "needed_a": number(found.needed_a),
        "standard_a": number(found.standard_a),
        "margin": number(found.margin),
        "polarity": found.polarity,
        "polarity_stated": found.polarity_stated,
    }


def _rail(rail: Rail) -> dict[str, Any]:
    return {
        "net": rail.net,
        "volts": _spread(rail.volts),
        "amps": _spread(rail.amps),
        "feeds": list(rail.feeds),
        "from": list(rail.from_nets),
        "limit_a": number(rail.limit_a),
        "loads": [
            {"ref": load.ref, "says": load.says, "amps": _spread(load.amps), "onward": load.onward}
            for load in rail.loads
        ],
    }


def _battery(found: BatteryLife | None) -> dict[str, Any] | None:
    if found is None:
        return None
    return {
        "net": found.net,
        "stated": found.stated,
        "amps": number(found.amps),
        "end_v": number(found.end_v),
        "first": _failing(found.first) if found.first else None,
        "failing": [_failing(one) for one in found.failing],
        "already": [_failing(one) for one in found.already],
        "cells": [
            {
                "name": one.name,
                "hours": number(one.hours),
                "end_v": number(one.end_v),
                "used_ah": number(one.used_ah),
                "whole_ah": number(one.whole_ah),
                "source": one.source,
            }
            for one in found.cells
        ],
    }


def _failing(one: Failing) -> dict[str, Any]:
    return {"rule": one.rule, "ref": one.ref, "at_v": number(one.at_v), "says": one.says}


def _settling(one: Settling) -> dict[str, Any]:
    return {
        "net": one.net,
        "says": one.says,
        "volts": number(one.volts),
        "within_5_percent_s": number(one.within_5_s),
        "within_1_percent_s": number(one.within_1_s),
        "fade_s": number(one.fade_s),
    }


def _inrush(found: Inrush | None) -> dict[str, Any] | None:
    if found is None:
        return None
    return {
        "net": found.net,
        "peak_a": number(found.peak_a),
        "charge_c": number(found.charge_c),
        "series_ohms": number(found.series_ohms),
        "through": [
            {"ref": ref, "surge_a": number(rating), "source": source} for ref, rating, source in found.through
        ],
        "certified": found.certified,
    }


def _heat(one: Heat) -> dict[str, Any]:
    return {
        "ref": one.ref,
        "says": one.says,
        "watts": _spread(one.watts),
        "most_w": number(one.most_w),
        "allowed_w": number(one.allowed_w),
        "share": number(one.share),
        "k_per_w": number(one.k_per_w),
        "room_c": number(one.room_c),
        "box_c": number(one.box_c),
        "most_junction_c": number(one.most_junction_c),
        "source": one.source,
    }


def _strain(one: Strain) -> dict[str, Any]:
    return {
        "ref": one.ref,
        "says": one.says,
        "rating": one.rating,
        "unit": one.unit,
        "value": number(one.value),
        "limit": number(one.limit),
        "factor": number(one.factor),
        "at_v": number(one.at_v),
        "blows": one.blows,
        "source": one.source,
    }


def _case(case: AbuseCase) -> dict[str, Any]:
    return {
        "name": case.name,
        "says": case.says,
        "net": case.net,
        "volts": [number(volts) for volts in case.volts],
        "certified": case.certified,
        "survives": case.survives,
        "supply_a": number(case.supply_a),
        "strains": [_strain(one) for one in case.strains],
        "protected_by": list(case.protected_by),
        "chips_alive": list(case.chips_alive),
    }
