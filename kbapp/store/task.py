"""A long task's way to say how far it is and to hear that it should stop."""

from collections.abc import Callable
from dataclasses import dataclass

from kbapp.errors import Cancelled

Progress = Callable[[int, int], None]
"""Is told how many of how many steps are done."""
Stop = Callable[[], bool]
"""Says whether the task should stop."""


@dataclass(frozen=True, slots=True)
class Task:
    """Carries the two callables a caller may give: ``progress(done, of)`` and ``cancel()``."""

    progress: Progress | None = None
    cancel: Stop | None = None

    def at(self, done: int, of: int) -> None:
        """Says that ``done`` of ``of`` steps are done.

        Raises:
            Cancelled: the caller wants the task to stop.
        """
        if self.cancel is not None and self.cancel():
            raise Cancelled
        if self.progress is not None:
            self.progress(done, of)


QUIET = Task()
"""A task nobody watches."""
