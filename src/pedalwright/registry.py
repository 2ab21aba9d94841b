"""Families: a folder is the list, a file is an entry.

Adding a device, a stage kind or a rule is adding one file that holds one record under a fixed name::

    DEVICE = Device(kind="resistor", ...)

Nothing else is edited. Three things in a family's folder are not entries: sub-folders, the file that
defines the record type itself, and shared helpers, whose names begin with an underscore.
"""

from functools import cache
from importlib import import_module
from pkgutil import iter_modules
from types import ModuleType
from typing import TypeVar, cast

Record = TypeVar("Record")


class FamilyError(Exception):
    """A family's folder is not a proper list: a mistake in Pedalwright's own files, never in a circuit."""


def load_family(
    package_name: str, record_type: type[Record], attribute: str, *, key: str = "kind"
) -> tuple[Record, ...]:
    """The records of a family, in the order of their file names.

    `package_name` is the folder as a dotted name, `attribute` the module-level name every entry uses, and
    `key` the field of the record that must differ from file to file. The folder is read once; later calls
    get the same tuple.

    Raises FamilyError when a file adds no record, or two files claim the same key.
    """
    return cast(tuple[Record, ...], _load(package_name, cast(type, record_type), attribute, key))


@cache
def _load(package_name: str, record_type: type, attribute: str, key: str) -> tuple[object, ...]:
    file_of: dict[object, str] = {}
    records: list[object] = []
    for module_name in _entry_names(package_name, record_type):
        record = _record_of(import_module(module_name), record_type, attribute)
        taken = file_of.setdefault(getattr(record, key), module_name)
        if taken != module_name:
            raise FamilyError(
                f"{_file(taken)} and {_file(module_name)} both add the {key} {getattr(record, key)!r}: "
                f"rename one of them."
            )
        records.append(record)
    return tuple(records)


def _entry_names(package_name: str, record_type: type) -> list[str]:
    folder = import_module(package_name)
    files = sorted(found.name for found in iter_modules(folder.__path__) if not found.ispkg)
    entries = [f"{package_name}.{name}" for name in files if not name.startswith("_")]
    return [name for name in entries if name != record_type.__module__]


def _record_of(module: ModuleType, record_type: type, attribute: str) -> object:
    record = getattr(module, attribute, None)
    if not isinstance(record, record_type):
        raise FamilyError(
            f"{_file(module.__name__)} adds no {attribute} of type {record_type.__name__}: "
            f"write one, or begin the name of a shared helper with an underscore."
        )
    return record


def _file(module_name: str) -> str:
    return module_name.replace(".", "/") + ".py"
