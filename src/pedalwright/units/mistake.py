"""The one mistake a written value can be."""


class ValueMistake(ValueError):
    """A value that cannot be read as written.

    `reason` says what is wrong and repeats what was written; `cure` says what to write instead.
    Both are whole sentences, ready for a remark.
    """

    def __init__(self, reason: str, cure: str) -> None:
        super().__init__(f"{reason} {cure}")
        self.reason = reason
        self.cure = cure
