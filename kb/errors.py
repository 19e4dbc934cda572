"""The errors of the core, and `Problem`, one finding about a data file.

    KbError
      LibraryInvalid(problems)            every Problem at once, never only the first
      NotKnown(kind, id, near)            also LookupError; names the nearest known ids
      BadInput(field, value, expected)    also ValueError
        BadQuantity                       a number or unit that cannot be read
        UnknownOutcome                    a check does not have that outcome
        ImpossibleReading                 no bike can show this

Messages are built from the attributes, so that a surface may word them anew.
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from pathlib import Path

__all__ = [
    "BadInput",
    "BadQuantity",
    "ImpossibleReading",
    "KbError",
    "LibraryInvalid",
    "NotKnown",
    "Problem",
    "UnknownOutcome",
]


@dataclass(frozen=True, slots=True, order=True)
class Problem:
    """One thing wrong in one place of the data files."""

    path: Path
    line: int
    """1-based; 0 where no line can be named."""
    rule: str
    """Id of the lint rule, as listed in DEVELOPERS.md."""
    message: str
    """What was found and what is allowed, in one sentence; starts with the field."""

    def __str__(self) -> str:
        return f"{self.path}:{self.line}: {self.rule}: {self.message}"


class KbError(Exception):
    """Base of all errors that the core raises on purpose."""


class LibraryInvalid(KbError):
    """The data files break rules; nothing is served from them."""

    def __init__(self, problems: Iterable[Problem]) -> None:
        self.problems: tuple[Problem, ...] = tuple(problems)
        shown = "\n".join(str(problem) for problem in self.problems)
        super().__init__(f"{len(self.problems)} problem(s) in the articles:\n{shown}")


class NotKnown(KbError, LookupError):
    """An id that the library does not have."""

    def __init__(self, kind: str, id: str, near: Sequence[str] = ()) -> None:
        self.kind = kind
        self.id = id
        self.near: tuple[str, ...] = tuple(near)
        hint = f"; near: {', '.join(self.near)}" if self.near else ""
        super().__init__(f"no {kind} is called {id!r}{hint}")


class BadInput(KbError, ValueError):
    """A value from outside that cannot be used."""

    def __init__(self, field: str, value: object, expected: str) -> None:
        self.field = field
        self.value = value
        self.expected = expected
        shown = repr(value)
        if len(shown) > 80:
            shown = shown[:77] + "..."
        super().__init__(f"{field}: got {shown}, expected {expected}")


class BadQuantity(BadInput):
    """A number or a unit that cannot be read or converted."""


class UnknownOutcome(BadInput):
    """An outcome that the check does not have."""


class ImpossibleReading(BadInput):
    """A value no real bike can show, or one that every cause rules out."""
