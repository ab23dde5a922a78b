"""Work in a process of its own, which the interpreter of this one does not hold up.

A solver that looks at its limits calls Python each time, and beside a search in Python it waits for
its turn each time: a relaxation of 5 s took 40, branch and cut of 37 s took 85. A process can also
be ended at any moment.
"""

import os
import pickle
import signal
import subprocess
import sys
from collections.abc import Callable, Iterator
from threading import Event, Thread
from typing import Any

LOOK = 0.1
"""Seconds between two looks whether the work is still wanted."""


def apart(work: Callable[..., None], *arguments: Any, goes_on: Callable[[], bool]) -> Iterator[Any]:
    """What a module's function tells, one by one, until `goes_on` says that it is over.

    The function is called with what it tells by, then with the arguments. Arguments and results
    have to be such as can be pickled. Raises what the work raised; a process that ends before its
    work does, for want of memory perhaps, only yields no more.
    """
    if not goes_on():
        return
    environment = {**os.environ, "PYTHONPATH": os.pathsep.join(sys.path)}
    command = [sys.executable, "-P", "-m", __name__]  # not what lies in the current folder
    pipe = subprocess.PIPE
    with subprocess.Popen(command, stdin=pipe, stdout=pipe, env=environment) as process:
        if process.stdin is None or process.stdout is None:
            raise AssertionError("both are pipes")
        over = Event()
        Thread(target=_watch, args=(process, goes_on, over), daemon=True).start()
        try:
            with process.stdin as sent:
                pickle.dump((work, arguments), sent)
            while (come := pickle.load(process.stdout)) is not None:
                result, error = come
                if error is not None:
                    raise error
                yield result
        except (BrokenPipeError, EOFError, pickle.UnpicklingError):
            return
        finally:
            over.set()
            process.kill()


def _watch(process: "subprocess.Popen[bytes]", goes_on: Callable[[], bool], over: Event) -> None:
    """End the process, and with it the wait for its results, when it is not wanted any more."""
    while not over.wait(LOOK):
        if not goes_on():
            process.kill()
            return


def _work() -> None:
    """Do what the other process sent: each result in a pair with None, errors the other way."""
    signal.signal(signal.SIGINT, signal.SIG_IGN)  # Ctrl-C belongs to the process that began this
    with os.fdopen(os.dup(1), "wb") as answers:
        os.dup2(os.open(os.devnull, os.O_WRONLY), 1)  # what a solver prints is no answer
        work, arguments = pickle.load(sys.stdin.buffer)

        def answer(come: object) -> None:
            pickle.dump(come, answers)
            answers.flush()

        try:
            work(lambda result: answer((result, None)), *arguments)
        except Exception as error:
            answer((None, error))
        else:
            answer(None)


if __name__ == "__main__":
    _work()
