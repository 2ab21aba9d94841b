"""The layers of the design, and the independence of the entries of a family."""

import ast
from pathlib import Path

import grimp
import pytest
from importlinter.cli import lint_imports

PICTURES = {"matplotlib", "rich", "click"}
DRAWING_LAYERS = {"cli", "report", "bench", "__main__"}


@pytest.fixture(scope="module")
def graph() -> grimp.ImportGraph:
    return grimp.build_graph("pedalwright", include_external_packages=True, cache_dir=None)


def parsed(path: Path) -> ast.Module:
    return ast.parse(path.read_text(encoding="utf-8"))


def families(source: Path) -> dict[str, str]:
    """Folder and attribute of every family, from the calls of `load_family`: no second list to keep.

    The verbs are a family too, which the command line loads one at a time.
    """
    found = {"pedalwright.cli": "command"}
    for path in sorted(source.rglob("*.py")):
        calls = (node for node in ast.walk(parsed(path)) if isinstance(node, ast.Call))
        for call in calls:
            if isinstance(call.func, ast.Name) and call.func.id == "load_family":
                if isinstance(call.args[0], ast.JoinedStr):
                    found |= families_in_folders(source, call)
                    continue
                words = [word.value for word in call.args if isinstance(word, ast.Constant)]
                assert len(words) == 2, f"{path.name}: name folder and attribute of the family in plain text"
                found[str(words[0])] = str(words[1])
    return found


def families_in_folders(source: Path, call: ast.Call) -> dict[str, str]:
    """A family in several folders: ``load_family(f"pedalwright.review.rules.{folder}", Rule, "RULE")``."""
    assert isinstance(call.args[0], ast.JoinedStr)
    first, attribute = call.args[0].values[0], call.args[-1]
    assert isinstance(first, ast.Constant) and isinstance(attribute, ast.Constant)
    package = str(first.value).removesuffix(".")
    inside = source.joinpath(*package.split(".")[1:])
    folders = sorted(path.parent.name for path in inside.glob("*/__init__.py"))
    assert folders, f"{package}: no folders"
    return {f"{package}.{folder}": str(attribute.value) for folder in folders}


def entries(source: Path, package: str, attribute: str) -> set[str]:
    folder = source.joinpath(*package.split(".")[1:])
    return {f"{package}.{path.stem}" for path in folder.glob("*.py") if attribute in top_level_names(path)}


def acquaintances(graph: grimp.ImportGraph, members: set[str]) -> dict[str, set[str]]:
    """The entries that import other entries, and which."""
    known = {member: graph.find_modules_directly_imported_by(member) & members for member in members}
    return {member: others for member, others in known.items() if others}


def top_level_names(path: Path) -> list[str]:
    """Names the file gives a value or a function at its outer level."""
    names = []
    for node in parsed(path).body:
        if isinstance(node, ast.FunctionDef):
            names.append(node.name)
        targets = node.targets if isinstance(node, ast.Assign) else [getattr(node, "target", None)]
        names += [target.id for target in targets if isinstance(target, ast.Name)]
    return names


def test_imports_go_downward_only(
    root: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.chdir(root)
    status = lint_imports(config_filename="pyproject.toml", no_cache=True)
    assert status == 0, capsys.readouterr().out


def test_entries_of_a_family_do_not_know_one_another(root: Path, graph: grimp.ImportGraph) -> None:
    """What two entries share belongs in a helper beside them, its name beginning with an underscore."""
    source = root / "src" / "pedalwright"
    for package, attribute in families(source).items():
        assert acquaintances(graph, entries(source, package, attribute)) == {}


def test_the_check_of_entries_sees_an_import_between_two() -> None:
    graph = grimp.ImportGraph()
    for imported in ("kinds._shared", "kinds.b"):
        graph.add_import(importer="kinds.a", imported=imported)
    assert acquaintances(graph, {"kinds.a", "kinds.b"}) == {"kinds.a": {"kinds.b"}}


def test_nothing_below_the_report_knows_how_to_draw(graph: grimp.ImportGraph) -> None:
    below = [
        module
        for module in graph.modules
        if module.startswith("pedalwright.") and module.split(".")[1] not in DRAWING_LAYERS
    ]
    drawing = {module: graph.find_modules_directly_imported_by(module) & PICTURES for module in below}
    assert {module: libraries for module, libraries in drawing.items() if libraries} == {}
