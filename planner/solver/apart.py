"""Work in a process of its own, which the interpreter of this one does not hold up.

A solver that looks at its limits calls Python each time, and beside a search in Python it waits for
its turn each time: a relaxation of 5 s took 40, branch and cut of 37 s took 85. A process can also
be ended at any moment. One whose work is done waits for more: to begin one takes 0.2 s.
"""

import atexit
import os
import pickle
import signal
import subprocess
import sys
from collections.abc import Callable, Iterator
from contextlib import suppress
from threading import Event, Thread
from typing import IO, Any

LOOK = 0.1
"""Seconds between two looks whether the work is still wanted."""

_idle: list["Worker"] = []
"""Processes that have done their work and wait for more."""


class Worker:
    """A process that does one work after another."""

    def __init__(self) -> None:
        environment = {**os.environ, "PYTHONPATH": os.pathsep.join(sys.path)}
        command = [sys.executable, "-P", "-m", __name__]  # not what lies in the current folder
        pipe = subprocess.PIPE
        self._process = subprocess.Popen(command, stdin=pipe, stdout=pipe, env=environment)
        self._killed = False

    @property
    def lives(self) -> bool:
        """False once the process has ended, or is about to."""
        return not self._killed and self._process.poll() is None

    def told(self, work: Callable[..., None], arguments: tuple[Any, ...]) -> Iterator[Any]:
        """What a work tells. Raises what it raises, or EOFError if the process ends before it."""
        tasks, answers = self._pipes
        try:
            pickle.dump((work, arguments), tasks)
            tasks.flush()
            while (come := pickle.load(answers)) is not None:
                result, error = come
                if error is not None:
                    raise error
                yield result
        except (BrokenPipeError, pickle.UnpicklingError) as broken:
            raise EOFError from broken

    def kill(self) -> None:
        """End the process, whatever it does, and with it the wait for what it tells."""
        self._killed = True
        self._process.kill()

    def close(self) -> None:
        """End the process if it waits for work, and what is left of it."""
        with suppress(BrokenPipeError), self._process:  # closes both pipes, whereupon it ends
            pass

    @property
    def _pipes(self) -> tuple[IO[bytes], IO[bytes]]:
        if self._process.stdin is None or self._process.stdout is None:
            raise AssertionError("both are pipes")
        return self._process.stdin, self._process.stdout


def apart(work: Callable[..., None], *arguments: Any, goes_on: Callable[[], bool]) -> Iterator[Any]:
    """What a module's function tells, one by one, until `goes_on` says that it is over.

    The function is called with what it tells by, then with the arguments. Arguments and results
    have to be such as can be pickled. Raises what the work raised; a process that ends before its
    work does, for want of memory perhaps, only yields no more.
    """
    if not goes_on():
        return
    worker = _worker()
    over, done = Event(), False
    watch = Thread(target=_watch, args=(worker, goes_on, over), daemon=True)
    watch.start()
    try:
        yield from worker.told(work, arguments)
        done = True
    except EOFError:
        return
    finally:
        over.set()
        watch.join()  # or it might end the process in the middle of its next work
        if done and worker.lives:
            _idle.append(worker)
        else:
            worker.kill()
            worker.close()


def _worker() -> Worker:
    """One that waits for work, or a new one."""
    while True:
        try:
            worker = _idle.pop()
        except IndexError:
            return Worker()
        if worker.lives:
            return worker
        worker.close()


def _watch(worker: Worker, goes_on: Callable[[], bool], over: Event) -> None:
    """End a worker that is not wanted any more."""
    while not over.wait(LOOK):
        if not goes_on():
            worker.kill()
            return


@atexit.register
def _close() -> None:
    """End the processes that wait for work."""
    while _idle:
        _idle.pop().close()


def _work() -> None:
    """Do what the other process sends: results in a pair with None, errors the other way."""
    signal.signal(signal.SIGINT, signal.SIG_IGN)  # Ctrl-C belongs to the process that began this
    with os.fdopen(os.dup(1), "wb") as answers:
        os.dup2(os.open(os.devnull, os.O_WRONLY), 1)  # what a solver prints is no answer

        def answer(come: object) -> None:
            try:
                pickle.dump(come, answers)
                answers.flush()
            except BrokenPipeError:  # nobody listens any more
                os._exit(1)

        while True:
            try:
                work, arguments = pickle.load(sys.stdin.buffer)
            except EOFError:
                return
            try:
                work(lambda result: answer((result, None)), *arguments)
            except Exception as error:
                answer((None, error))
            else:
                answer(None)


if __name__ == "__main__":
    _work()
