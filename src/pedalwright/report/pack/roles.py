"""What a part is for, in a few words."""

from pedalwright.report.pack.dossier import Dossier

NOTHING = "-"


def role_of(dossier: Dossier, ref: str) -> str:
    """What the walk-through says a part is for; for a package, what its sections are for."""
    if ref in dossier.told:
        stage, part = dossier.told[ref]
        return f"{part.role}, {stage.title.lower()}"
    inside = [
        f"{name.removeprefix(ref).lstrip('/')}: {part.role}"
        for name, (_, part) in dossier.told.items()
        if _is_section(name, ref)
    ]
    if inside:
        return "; ".join(inside)
    return next((role for name, _, role in dossier.walk.unstaged if name == ref), NOTHING)


def _is_section(name: str, ref: str) -> bool:
    rest = name.removeprefix(ref)
    return rest != name and (rest[:1] == "/" or (len(rest) == 1 and rest.isalpha()))
