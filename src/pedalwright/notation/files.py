"""A text from a file, with a clear remark for every way that can fail."""

from pathlib import Path

from pedalwright.circuit.remark import Remark, UnusableCircuit
from pedalwright.circuit.span import Span
from pedalwright.notation.limits import LARGEST_FILE_BYTES


def text_of_file(path: Path | str) -> str:
    """The text of a file as it stands (line endings and byte order mark kept); raises `UnusableCircuit`."""
    name = str(path)
    data = _bytes_of(Path(path), name)
    try:
        return data.decode("utf-8")
    except UnicodeDecodeError as failure:
        line = data.count(b"\n", 0, failure.start) + 1
        column = failure.start - (data.rfind(b"\n", 0, failure.start) + 1) + 1
        raise _refusal(
            "file.not-utf-8",
            name,
            f"{name} is not a UTF-8 text.",
            f"Byte {failure.start + 1} ({data[failure.start]:#04x}) does not fit; "
            "it may be another encoding, or no text at all.",
            "Save the file as UTF-8 in your editor.",
            Span(line, column, column + 1),
        ) from None


def _bytes_of(path: Path, name: str) -> bytes:
    try:
        if path.is_dir():
            raise IsADirectoryError
        with path.open("rb") as file:
            data = file.read(LARGEST_FILE_BYTES + 1)
    except (OSError, ValueError) as failure:
        raise _unreadable(failure, name) from None
    if len(data) > LARGEST_FILE_BYTES:
        raise _refusal(
            "text.too-large",
            name,
            f"{name} is larger than {LARGEST_FILE_BYTES} bytes.",
            "A circuit text has a few thousand.",
            "Check that this is the right file.",
        )
    return data


def _unreadable(failure: Exception, name: str) -> UnusableCircuit:
    match failure:
        case IsADirectoryError():
            says = f"{name} is a folder.", "A circuit is one text file.", "Name the .pedal file inside it."
            return _refusal("file.directory", name, *says)
        case FileNotFoundError():
            says = f"There is no file {name}.", "Nothing could be read.", "Check the name and the folder."
            return _refusal("file.missing", name, *says)
        case PermissionError():
            says = (
                f"{name} may not be read.",
                "Its permissions do not allow it.",
                "Change the permissions, or copy the file.",
            )
        case _:
            says = (
                f"{name} cannot be read.",
                f"The system says: {failure}.",
                "Check the name and the medium.",
            )
    return _refusal("file.unreadable", name, *says)


def _refusal(
    code: str, name: str, what: str, why: str, cure: str, span: Span | None = None
) -> UnusableCircuit:
    return UnusableCircuit((Remark(code=code, span=span, what=what, why=why, cure=cure),), source=name)
