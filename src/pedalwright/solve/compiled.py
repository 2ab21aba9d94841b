"""Loops compiled to machine code on first use and kept on disk for the next: the one place that knows the
compiler.

The compiler notices when the file of a compiled function changes, but not when a function or a constant it
uses from another file does. So the folder of compiled code is named after all files that may be part of it,
and after the compiler: an update never meets yesterday's code.
"""

import os
import re
import sys
from collections.abc import Callable
from functools import lru_cache
from hashlib import sha256
from pathlib import Path
from shutil import rmtree
from typing import Any, TypeVar, cast

import numba
import numpy as np

Function = TypeVar("Function", bound=Callable[..., object])
Table = TypeVar("Table", bound=tuple[Any, ...])
FUSED = {"contract"}
"""a product and the sum it goes into may be rounded once instead of twice"""
_JIT: Any = numba.njit
"""the switch that spares the counting is not in its type stubs"""
OUR_NAME = re.compile("[0-9a-f]{16}")
STALE_S = 30 * 24 * 3600.0
FOLDER_VARIABLE = "PEDALWRIGHT_COMPILED"
"""an environment variable naming another folder for compiled code"""


def compiled(function: Function) -> Function:
    """The function compiled for the types it is called with, on its first call or from the folder.

    Inside, only numbers, arrays and named tuples of them, and no array is made there: the caller makes them
    all. (So the compiled code need not count who holds which array; counting cost twenty times the
    arithmetic.)
    Nothing is reordered, so the same input gives the same bits on the same machine.
    """
    _settle_folder()
    return cast(Function, _JIT(cache=True, error_model="numpy", fastmath=FUSED, _nrt=False)(function))


def compiled_inline(function: Function) -> Function:
    """The same for a small function that its callers take in whole; it has no copy on disk of its own."""
    return cast(Function, _JIT(inline="always", error_model="numpy", fastmath=FUSED, _nrt=False)(function))


def plain(table: Table) -> Table:
    """The named tuple with every array in one piece and writable: each other kind would be compiled anew."""
    made = (np.require(one, requirements=["C", "W"]) if isinstance(one, np.ndarray) else one for one in table)
    return type(table)(*made)


def folder() -> Path:
    """Where compiled code is kept: one folder per state of the sources and version of the compiler."""
    return _base() / _fingerprint()


def is_warm() -> bool:
    """Whether something compiled from these very sources is on disk already."""
    try:
        return any(folder().rglob("*.nbc"))
    except OSError:
        return False


def _base() -> Path:
    named = os.environ.get(FOLDER_VARIABLE)
    if named:
        return Path(named)
    if sys.platform == "win32":
        return Path(os.environ.get("LOCALAPPDATA", Path.home())) / "pedalwright" / "compiled"
    return Path(os.environ.get("XDG_CACHE_HOME") or Path.home() / ".cache") / "pedalwright"


@lru_cache(maxsize=1)
def _fingerprint() -> str:
    """Of every source file that machine code may be made of.

    Constants of one file are built into another's code.
    """
    package = Path(__file__).parent.parent
    found = sha256(f"{numba.__version__} {sys.version}".encode())
    for folder_name in ("solve", "echo", "sound", "devices/kinds"):
        for path in sorted((package / folder_name).rglob("*.py")):
            status = path.stat()
            found.update(f"{path} {status.st_mtime_ns} {status.st_size}".encode())
    return found.hexdigest()[:16]


@lru_cache(maxsize=1)
def _settle_folder() -> None:
    """Tell the compiler where to keep its code; a folder that cannot be written is simply not used."""
    goal = folder()
    try:
        goal.mkdir(parents=True, exist_ok=True)
        _sweep(goal)
    except OSError:
        return
    setattr(numba.config, "CACHE_DIR", str(goal))  # noqa: B010 - the type stubs do not know it


def _sweep(goal: Path) -> None:
    """Remove machine code that has not been used for a month.

    Nothing but folders named as ours is touched.
    """
    os.utime(goal)
    for other in goal.parent.iterdir():
        ours = other.is_dir() and OUR_NAME.fullmatch(other.name)
        if ours and other.stat().st_mtime < goal.stat().st_mtime - STALE_S:
            rmtree(other, ignore_errors=True)
