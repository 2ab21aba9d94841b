"""Why a sound file cannot be read or written, in sentences."""

from pathlib import Path

from pedalwright.sound.unusable import UnusableSound, unusable


def unreadable(failure: Exception, name: str) -> UnusableSound:
    """What the system says when a file is opened for reading."""
    match failure:
        case IsADirectoryError():
            says = f"{name} is a folder.", "A sound is one file.", "Name the file inside it."
            return unusable("sound-file.directory", *says)
        case FileNotFoundError():
            says = f"There is no file {name}.", "Nothing could be read.", "Check the name and the folder."
            return unusable("sound-file.missing", *says)
        case PermissionError():
            says = (
                f"{name} may not be read.",
                "Its permissions do not allow it.",
                "Change the permissions, or copy the file.",
            )
        case _:
            says = f"{name} cannot be read.", f"The system says: {failure}.", "Check the name and the medium."
    return unusable("sound-file.unreadable", *says)


def not_a_sound(name: str, detail: str) -> UnusableSound:
    """The library for sound files does not know what this is."""
    return unusable(
        "sound-file.not-a-sound",
        f"{name} is not a sound file that can be read.",
        f"The library for sound files says: {detail.rstrip('.')}.",
        "Save the sound as WAV or FLAC.",
    )


def unwritable(failure: Exception, goal: Path) -> UnusableSound:
    """What the system or the library says when a file is written; nothing was left behind."""
    match failure:
        case FileNotFoundError():
            what, cure = f"There is no folder {goal.parent}.", "Make the folder, or name another."
        case PermissionError():
            what, cure = f"{goal} may not be written.", "Name a file in a folder of your own."
        case IsADirectoryError():
            what, cure = f"{goal} is a folder.", "Name a file inside it."
        case _:
            what = f"{goal} could not be written whole, so nothing was kept."
            cure = "See whether there is room on the medium, and name another file."
    return unusable("sound-file.unwritable", what, f"The reason: {_reason(failure)}.", cure)


def _reason(failure: Exception) -> str:
    said = getattr(failure, "strerror", None) or str(failure) or "fewer frames were taken than given"
    return str(said).strip().rstrip(".")
