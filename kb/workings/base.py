"""What a working is: named inputs with units and limits, a pure function, results with units, formula and source.

A subject file (`chain.py`, `clamps.py` ...) defines pure formulas and, beside them, `WORKINGS`: each says in words
and limits what the formula needs and what its figure means. Reading texts into inputs and running is `running.py`.
"""

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from enum import StrEnum

from kb.units import shown
from kb.workings.number import Number, nominal, u_of

__all__ = [
    "CALIPER_MM",
    "TEXT",
    "USUAL_CAUTION",
    "YES_NO",
    "Figure",
    "Input",
    "Result",
    "Solution",
    "Table",
    "Verdict",
    "Working",
    "WorkingResult",
    "figure_of",
    "text_of",
]

TEXT = "text"
"""The unit of an input or result that is a word."""
YES_NO = ("yes", "no")
CALIPER_MM = 0.05
"""Standard uncertainty of one diameter taken by calliper on a used part; common practice, no source."""
USUAL_CAUTION = "A marking on the part itself, its maker's sheet and a qualified mechanic go before any sum."


class Verdict(StrEnum):
    """The plain answer of a fit question."""

    YES = "yes"
    WITH = "yes with"
    NO = "no"
    MEASURE = "measure this"


@dataclass(frozen=True, slots=True)
class Input:
    """One thing a working needs to know."""

    name: str
    unit: str
    """In the notation of `kb.units`, `count` for a whole number of things, `text` for a word."""
    what: str
    least: float | None = None
    """Below it the input is impossible, and refused; inclusive, in `unit`."""
    most: float | None = None
    usual: tuple[float, float] | None = None
    """Outside it the formula is tried less; it warns."""
    default: float | str | None = None
    """Taken, and said, where the input is left out; None with `optional` means nothing is taken."""
    optional: bool = False
    choices: tuple[str, ...] = ()
    also: Mapping[str, str] = field(default_factory=dict)
    """Other words for the choices, in lower case."""
    tool_u: float | None = None
    """Standard uncertainty taken, and said, where none is given after ±."""

    @property
    def may_be_left_out(self) -> bool:
        """Whether a run goes without it."""
        return self.optional or self.default is not None

    @property
    def is_whole(self) -> bool:
        """Whether only whole numbers make sense."""
        return self.unit in ("teeth", "links", "count")

    @property
    def allowed(self) -> str:
        """What may be given, in words for an error."""
        if self.choices:
            return "one of " + ", ".join(self.choices)
        if self.unit == TEXT:
            return self.what
        noun = {"count": "", "1": ""}.get(self.unit, " " + shown(self.unit))
        kind = "a whole number" if self.is_whole else "a number"
        if self.least is not None and self.most is not None:
            return f"{kind} from {self.least:g} to {self.most:g}{noun} ({self.what})"
        return f"{kind}{' in' if noun else ''}{noun} ({self.what})"


@dataclass(frozen=True, slots=True)
class Result:
    """One figure or word that a working gives."""

    name: str
    unit: str
    what: str
    whole: bool = False
    optional: bool = False
    """Left out where the inputs given do not carry it."""


@dataclass(frozen=True, slots=True)
class Table:
    """Figures for every gear, sprocket or friction; already rounded for reading."""

    head: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]


@dataclass(frozen=True, slots=True)
class Solution:
    """What a working's function gives back."""

    values: Mapping[str, Number | str]
    """By the name of the result."""
    says: str
    """What it means, in a mechanic's words."""
    warnings: tuple[str, ...] = ()
    assumptions: tuple[str, ...] = ()
    table: Table | None = None


@dataclass(frozen=True, slots=True)
class Working:
    """One calculation of the trade."""

    name: str
    title: str
    inputs: tuple[Input, ...]
    results: tuple[Result, ...]
    formula: str
    source: str
    solve: Callable[..., Solution]
    """Takes one keyword per input, in the input's unit, and is pure."""
    assumptions: tuple[str, ...] = ()
    cautions: tuple[str, ...] = ()
    drawing: Callable[..., str] | None = None
    """Takes the same keywords, without uncertainty, and returns inline SVG."""


@dataclass(frozen=True, slots=True)
class Figure:
    """A named value with its unit, as given or as found."""

    name: str
    value: float | int | str
    unit: str
    what: str
    uncertainty: float | None = None
    """Standard uncertainty, in `unit`; None where the value is exact or a word."""

    @property
    def text(self) -> str:
        """The value for reading, with ± and unit.

        >>> Figure("w", 0.47244, "%", "", 0.0197).text, Figure("n", 108, "links", "").text
        ('0.472 ± 0.020 %', '108 links')
        """
        return text_of(self.value, self.unit, self.uncertainty)


@dataclass(frozen=True, slots=True)
class WorkingResult:
    """A working that was run: everything a page, a terminal or a program shows of it."""

    name: str
    title: str
    inputs: tuple[Figure, ...]
    results: tuple[Figure, ...]
    explanation: str
    formula: str
    source: str
    assumptions: tuple[str, ...]
    warnings: tuple[str, ...]
    cautions: tuple[str, ...]
    table: Table | None
    drawing: str | None
    """Inline SVG."""

    def value(self, name: str) -> float | int | str:
        """Return the value of the result `name`.

        Raises: KeyError.
        """
        return {figure.name: figure.value for figure in self.results}[name]


def text_of(value: float | int | str, unit: str, u: float | None = None) -> str:
    """Return a value for reading; with an uncertainty, as many decimals as two digits of that need."""
    if isinstance(value, str):
        return value
    noun = {"count": "", "1": "", TEXT: ""}.get(unit, " " + shown(unit))
    if isinstance(value, int):
        return f"{value}{noun}"
    if u:
        places = _places(u)
        return f"{value:.{places}f} ± {u:.{places}f}{noun}"
    return f"{_five_digits(value)}{noun}"


def figure_of(result: Result, value: Number | str) -> Figure:
    """Return a result's value with its unit and uncertainty."""
    if isinstance(value, str):
        return Figure(result.name, str(value), result.unit, result.what)
    exact, u = nominal(value), u_of(value)
    rounded = float(f"{exact:.10g}")  # ends the noise of binary fractions, far below any caliper
    return Figure(result.name, round(rounded) if result.whole else rounded, result.unit, result.what, u or None)


def _places(u: float) -> int:
    digits = f"{u:.1e}"
    return max(0, 1 - int(digits.partition("e")[2]))


def _five_digits(value: float) -> str:
    if value == 0:
        return "0"
    if abs(value) >= 10000:
        return f"{value:.0f}"
    return f"{value:.5g}" if abs(value) >= 0.001 else f"{value:.3g}"
