"""Units of wants as evidence spells them."""


def evidence_unit(unit: str) -> str:
    """The unit as evidence spells it."""
    return {"Ω": "ohm", "": "x"}.get(unit, unit)
