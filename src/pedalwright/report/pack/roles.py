"""What a part is for, in a few words."""

from pedalwright.report.pack.dossier import Dossier

NOTHING = "-"


def role_of(dossier: Dossier, ref: str) -> str:
    """What the walk-through says a part is for; for a package, what its sections are for."""
    if ref in dossier.told:
        stage, part = dossier.told[ref]
        return _joined(part.role, in_a_sentence(stage.title))
    inside = [
        f"{name.removeprefix(ref).lstrip('/')}: {part.role}"
        for name, (_, part) in dossier.told.items()
        if _is_section(name, ref)
    ]
    if inside:
        return "; ".join(inside)
    return next((role for name, _, role in dossier.walk.unstaged if name == ref), NOTHING)


def in_a_sentence(title: str) -> str:
    """A title without its capital, unless it begins with an abbreviation.

    >>> in_a_sentence("Volume divider"), in_a_sentence("RC low-pass")
    ('volume divider', 'RC low-pass')
    """
    return title if title[1:2].isupper() else f"{title[:1].lower()}{title[1:]}"


def _joined(role: str, stage: str) -> str:
    """The role and its stage; the role alone where it already says the stage's words."""
    said = set(role.lower().replace("-", " ").split())
    return role if set(stage.lower().replace("-", " ").split()) <= said else f"{role}, {stage}"


def _is_section(name: str, ref: str) -> bool:
    rest = name.removeprefix(ref)
    return rest != name and (rest[:1] == "/" or (len(rest) == 1 and rest.isalpha()))
