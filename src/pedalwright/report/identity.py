"""Which circuit a document is about: its title, and the fingerprint of its text."""


def title_of(written: str) -> str:
    """The title as written, or words for a circuit without one."""
    return written or "A circuit without a name"


def fingerprint(text_sha256: str) -> tuple[str, ...]:
    """The closing line that names the text; none when there was no text."""
    return (f"Text SHA-256: {text_sha256}",) if text_sha256 else ()
