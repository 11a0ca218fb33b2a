"""What oxfade raises: one hierarchy, with the texts the program prints."""

from __future__ import annotations

from typing import NamedTuple, Tuple


class Problem(NamedTuple):
    """One thing that is wrong with an input: what, where, the value, and what would be right."""

    key: str  #: dotted path, ``riser.North.pipe.main.volume``; empty for the file as a whole
    value: str  #: the offending value as it was given; may be empty
    what: str  #: what is wrong
    allowed: str  #: what is allowed, or what to do
    file: str  #: file name, where one was read
    line: int  #: 1-based line in that file; 0 when unknown
    text: str  #: all of it on one line, as the program prints it

    def __str__(self) -> str:
        return self.text


class Error(Exception):
    """Base of everything this package raises on purpose."""


class InputError(Error, ValueError):
    """The input cannot be used. Holds every problem found, not only the first."""

    def __init__(self, problems: Tuple[Problem, ...]) -> None:
        super().__init__(problems)

    @property
    def problems(self) -> Tuple[Problem, ...]:
        """tuple of Problem: everything that is wrong."""
        problems: Tuple[Problem, ...] = self.args[0]
        return problems

    def __str__(self) -> str:
        return "\n".join(problem.text for problem in self.problems)


class FileError(Error, OSError):
    """A file could not be read or written."""


class ComputationError(Error, RuntimeError):
    """The computation failed: a state that is not finite, or switches that flip for ever."""

    def __init__(self, text: str, time_s: float, riser: str, compartment: str, mode: str) -> None:
        super().__init__(text, time_s, riser, compartment, mode)

    @property
    def time_s(self) -> float:
        """Simulated time of the failure [s]."""
        return float(self.args[1])

    @property
    def riser(self) -> str:
        """str: the riser concerned; may be empty."""
        return str(self.args[2])

    @property
    def compartment(self) -> str:
        """str: the compartment concerned; may be empty."""
        return str(self.args[3])

    @property
    def mode(self) -> str:
        """str: state of the switches; may be empty."""
        return str(self.args[4])

    def __str__(self) -> str:
        return str(self.args[0])


def input_error(key: str, value: object, what: str, allowed: str) -> InputError:
    """An InputError with one problem, worded as the compiled part words them.

    Parameters
    ----------
    key : str
        The argument concerned.
    value : object
        What was given; None for nothing.
    what, allowed : str
        What is wrong, and what is allowed.

    Returns
    -------
    InputError

    Raises
    ------
    Nothing.
    """
    given = "" if value is None else str(value)
    text = f"{key}: {what}" + (f" (given: {given})" if given else "") + (f"; {allowed}" if allowed else "")
    return InputError((Problem(key, given, what, allowed, "", 0, text),))
