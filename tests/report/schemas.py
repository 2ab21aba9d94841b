"""The manual's page of JSON schemas, read as the list of keys it promises."""

import re
from pathlib import Path
from typing import Any


def documented_keys(root: Path, schema: str) -> set[str]:
    """The keys of a schema as the page has them: ``stages[].proof.residual``."""
    page = (root / "docs" / "json-schemas.md").read_text(encoding="utf-8")
    chapter = re.search(rf"^## `{re.escape(schema)}`$(.*?)(?=^## |\Z)", page, re.MULTILINE | re.DOTALL)
    assert chapter is not None, f"{schema} has no chapter"
    return set(re.findall(r"^\| `([^`]+)` \|", chapter[1], re.MULTILINE))


def keys_of(data: Any, before: str = "") -> set[str]:
    """Every key of some JSON, those of lists marked with []; the names of settings are the circuit's own."""
    if isinstance(data, list):
        return set().union(*(keys_of(item, f"{before}[]") for item in data)) if data else set()
    if not isinstance(data, dict) or before == "settings":
        return set()
    found = set()
    for name, value in data.items():
        path = f"{before}.{name}" if before else name
        found |= {path} | keys_of(value, path)
    return found
