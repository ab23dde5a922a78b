"""Where search and proof, which run side by side, write down how far they have come."""

from threading import Lock

from planner.settings import Progress, ProgressNote


class Board:
    """The best value and the best bound of a stage so far; each note is passed on with both."""

    def __init__(self, progress: Progress | None) -> None:
        self._progress = progress
        self._lock = Lock()
        self._value: int | None = None
        self._bound: int | None = None

    def hear(self, note: ProgressNote) -> None:
        """Take a note with a value, a bound or both."""
        with self._lock:
            self._value = min((v for v in (self._value, note.value) if v is not None), default=None)
            self._bound = max((b for b in (self._bound, note.bound) if b is not None), default=None)
            if self._progress is not None:
                self._progress(
                    ProgressNote(
                        stage=note.stage,
                        value=self._value,
                        bound=self._bound,
                        seconds_left=note.seconds_left,
                    )
                )
