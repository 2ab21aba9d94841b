"""The circuits whose roles were written by hand, and how a recognition is compared with them."""

from collections.abc import Mapping
from pathlib import Path

from pedalwright.circuit.circuit import Circuit
from pedalwright.circuits import names, read_roles, roles, text
from pedalwright.notation import read_text
from pedalwright.stages.recognise import bench_for, recognise

CIRCUITS = Path(__file__).parent.parent / "circuits"
ODD, BLIND, UNSEEN = (CIRCUITS / folder for folder in ("odd", "blind", "unseen"))
Roles = Mapping[str, tuple[str, str]]
Answers = Mapping[str, frozenset[tuple[str, str]]]
"""designator -> every answer that counts as right"""


def package_circuits() -> dict[str, tuple[Circuit, Roles]]:
    """Every circuit of the package with its golden roles."""
    return {name: (read_text(text(name)), roles(name)) for name in names()}


def odd_circuits() -> dict[str, tuple[Circuit, Roles]]:
    """The odd ones beside the tests."""
    return {
        file.stem: (
            read_text(file.read_text(encoding="utf-8")),
            read_roles(file.with_suffix(".roles").read_text(encoding="utf-8")),
        )
        for file in sorted(ODD.glob("*.pedal"))
    }


def blind_circuits() -> dict[str, tuple[Circuit, Answers]]:
    """The first of those whose roles were written by someone who had not seen the recognisers."""
    return _answered(BLIND)


def unseen_circuits() -> dict[str, tuple[Circuit, Answers]]:
    """The second set of them, by another writer."""
    return _answered(UNSEEN)


def _answered(folder: Path) -> dict[str, tuple[Circuit, Answers]]:
    return {
        file.stem: (
            read_text(file.read_text(encoding="utf-8")),
            read_answers(file.with_suffix(".roles").read_text(encoding="utf-8")),
        )
        for file in sorted(folder.glob("*.pedal"))
    }


def read_answers(text: str) -> Answers:
    """Golden roles in which several answers of one part stand side by side, with ``|`` between them."""
    found = {}
    for line in text.splitlines():
        bare = line.partition("#")[0].strip()
        if bare:
            ref, said = bare.split(None, 1)
            found[ref] = frozenset(_answer(one) for one in said.split("|"))
    return found


def _answer(said: str) -> tuple[str, str]:
    kind, role = said.strip().split(None, 1)
    return kind, role.strip()


def wrong_answers(found: Roles, answers: Answers) -> dict[str, str]:
    """What is wrong, by designator; a part that only one side knows counts as well."""
    return {
        ref: f"{found.get(ref)} instead of {sorted(answers.get(ref, ()))}"
        for ref in dict.fromkeys([*answers, *found])
        if found.get(ref) not in answers.get(ref, frozenset())
    }


def found_roles(circuit: Circuit) -> Roles:
    """What the recognisers say, in the words of a golden file."""
    stages = recognise(bench_for(circuit))
    return {ref: (role.kind or "-", role.role) for ref, role in stages.roles.items()}


def differences(found: Roles, golden: Roles) -> list[str]:
    """One line for every part whose role is not the golden one, and for every part only one side knows."""
    refs = dict.fromkeys([*golden, *found])
    return [
        f"{ref}: {found.get(ref)} instead of {golden.get(ref)}"
        for ref in refs
        if found.get(ref) != golden.get(ref)
    ]
