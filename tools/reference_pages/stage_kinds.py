"""Every stage kind: what it is, the roles of its parts, where its formulas are published, its examples."""

from pedalwright.report.markdown_page import escaped
from pedalwright.stages.recognise import stage_kinds
from pedalwright.stages.stage import Example, StageKind
from reference_pages._markdown import code, page, table

FILE = "stage-kinds.md"


def write() -> str:
    """The page."""
    kinds = sorted(stage_kinds(), key=lambda kind: (kind.group, kind.kind))
    overview = table(
        ("kind", "group", "what it is"),
        [(kind.kind, kind.group, f"{kind.title}. {kind.says}") for kind in kinds],
    )
    intro = (
        "Every part of a circuit belongs to one stage, and has one role in it. These are the kinds of stages."
    )
    return page("Stage kinds", intro, overview, *(block for kind in kinds for block in _kind(kind)))


def _kind(kind: StageKind) -> list[str]:
    sources = [f"Source: {escaped(source)}." for source in kind.sources]
    return [
        f"## {kind.kind}",
        f"{escaped(kind.title)}. {escaped(kind.says)}",
        *sources,
        table(("role", "what such a part does"), kind.roles.items()),
        *(block for example in kind.examples for block in _example("Found in", example)),
        *(block for example in kind.near_misses for block in _example("Not found in", example)),
    ]


def _example(heading: str, example: Example) -> list[str]:
    return [f"{heading}:", code(example.text)]
