"""The circuits whose roles were written by hand, and how a recognition is compared with them."""

from collections.abc import Mapping
from pathlib import Path

from pedalwright.circuit.circuit import Circuit
from pedalwright.circuits import names, read_roles, roles, text
from pedalwright.notation import read_text
from pedalwright.stages.recognise import bench_for, recognise

ODD = Path(__file__).parent.parent / "circuits" / "odd"
Roles = Mapping[str, tuple[str, str]]


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
