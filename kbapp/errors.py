"""The errors Provebook raises: a code with values, sorted by whose fault it is.

The sentence a person reads is made from the code by ``kbapp.wording``; nothing here is worded.
"""


class KbError(Exception):
    """Carries a stable ``code`` and the ``values`` its sentence needs."""

    exit_code = 1

    def __init__(self, code: str, /, **values: object) -> None:
        super().__init__(code)
        self.code = code
        self.values = values

    def __repr__(self) -> str:
        return f"{type(self).__name__}({self.code!r}, {self.values!r})"


class InputError(KbError):
    """Says that what a person or a file gave cannot be taken; they can change it."""


class UsageError(KbError):
    """Says that a command was called wrongly."""

    exit_code = 2


class EnvironmentFault(KbError):
    """Says that the PC, disk, network or server stands in the way (full disk, lock, rights)."""


class DamageError(KbError):
    """Says that a book, index or pack is damaged."""

    exit_code = 3


class Cancelled(KbError):
    """Says that the user stopped a running task."""

    def __init__(self) -> None:
        super().__init__("cancelled")
