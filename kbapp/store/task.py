"""A long task's way to say how far it is and to hear that it should stop."""

from collections.abc import Callable
from dataclasses import dataclass

from kbapp.errors import Cancelled


@dataclass(frozen=True, slots=True)
class Task:
    """Carries the two callables a caller may give: ``progress(done, of)`` and ``cancel()``."""

    progress: Callable[[int, int], None] | None = None
    cancel: Callable[[], bool] | None = None

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
