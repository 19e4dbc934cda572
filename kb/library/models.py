"""What the library knows, as frozen types: articles, checks, the lexicon and labelled complaints.

Nothing here reads files or judges: reading is `yaml_source` and `structuring`, judging is `rules`.
"""

from collections.abc import Mapping
from dataclasses import dataclass, field
from enum import StrEnum
from pathlib import Path
from typing import NewType

__all__ = [
    "Article",
    "Band",
    "CauseId",
    "Check",
    "CheckId",
    "CheckShows",
    "Complaint",
    "Concept",
    "ConceptId",
    "ConceptKind",
    "Fix",
    "Kind",
    "Library",
    "Never",
    "Prevalence",
    "Ride",
    "Skill",
    "Source",
    "SourceKind",
    "Torque",
    "Variant",
    "Voice",
]

TEST_PREFIX = "test-"
CauseId = NewType("CauseId", str)
"""Id of an article, which is its file name without `.md`."""
CheckId = NewType("CheckId", str)
ConceptId = NewType("ConceptId", str)


class Kind(StrEnum):
    """What an article answers."""

    FAULT = "fault"
    FIT = "fit"
    ADVICE = "advice"


class Prevalence(StrEnum):
    """How often the trade meets it."""

    COMMON = "common"
    OCCASIONAL = "occasional"
    RARE = "rare"


class Ride(StrEnum):
    """Whether the bike may be ridden with the fault."""

    RIDE_ON = "ride-on"
    RIDE_GENTLY = "ride-gently"
    DO_NOT_RIDE = "do-not-ride"


class Skill(StrEnum):
    """The least skill that can do a check or a fix honestly."""

    RIDER = "rider"
    HOME = "home"
    WORKSHOP = "workshop"

    @property
    def rank(self) -> int:
        """0 for a rider, 2 for a workshop."""
        return list(Skill).index(self)


class SourceKind(StrEnum):
    """What stands behind a figure."""

    STANDARD = "standard"
    HANDBOOK = "handbook"
    COMMON_PRACTICE = "common-practice"


class ConceptKind(StrEnum):
    """What sort of thing a lexicon concept is."""

    PART = "part"
    TOOL = "tool"
    FLUID = "fluid"
    SOUND = "sound"
    MOTION = "motion"
    FEEL = "feel"
    CONDITION = "condition"
    PLACE = "place"
    TIME = "time"
    ACTION = "action"
    BIKE = "bike"
    DIMENSION = "dimension"


class Voice(StrEnum):
    """The manner of a complaint."""

    EMAIL = "email"
    COMMENT = "comment"
    SEARCH = "search"
    NONNATIVE = "nonnative"


@dataclass(frozen=True, slots=True)
class Band:
    """The values of one outcome of a measured check: `low` included, `high` not, None open."""

    low: float | None
    high: float | None

    def holds(self, value: float) -> bool:
        """Tell whether `value` lies in the band.

        >>> Band(0.5, 0.75).holds(0.5), Band(0.5, 0.75).holds(0.75), Band(None, 0.5).holds(-1.0)
        (True, False, True)
        """
        return (self.low is None or value >= self.low) and (self.high is None or value < self.high)


@dataclass(frozen=True, slots=True)
class Variant:
    """Other bands of a measured check, chosen by a fact that the rider states."""

    fact: str
    said: tuple[str, ...]
    """Phrases that state the fact."""
    outcomes: Mapping[str, Band]


@dataclass(frozen=True, slots=True)
class Check:
    """One thing to look at or to measure, and what each outcome of it is called."""

    id: CheckId
    what: str
    outcomes: tuple[str, ...]
    """Names in the order of the file; for a measured check from the lowest band to the highest."""
    phrases: Mapping[str, str]
    """What each outcome means, for a person; for a measured check made from its band."""
    ask: str
    how: tuple[str, ...]
    tool: str
    minutes: float
    skill: Skill
    usual: Mapping[str, float]
    """P(outcome) when something else is the fault."""
    said: Mapping[str, tuple[str, ...]]
    """How riders report each outcome."""
    named: tuple[str, ...]
    """How riders name the thing looked at or measured."""
    unit: str | None = None
    bands: Mapping[str, Band] | None = None
    resolution: float | None = None
    """Standard uncertainty of the usual tool, in `unit`."""
    plausible: tuple[float, float] | None = None
    """Lowest and highest value that a real bike can show, in `unit`."""
    working: str | None = None
    variants: tuple[Variant, ...] = ()
    caution: str | None = None
    statements: Mapping[str, tuple[str, ...]] = field(default_factory=dict)
    """Outcome -> texts that state it, for the finder of stated readings to learn from; from files of their own."""

    @property
    def is_measured(self) -> bool:
        """Whether the reading is a number in `unit`."""
        return self.bands is not None

    def outcome_of(self, value: float) -> str:
        """Return the outcome whose band holds `value`, in `unit`.

        Raises: ValueError if the check is not measured.
        """
        if self.bands is None:
            raise ValueError(f"{self.id} is not a measured check")
        return next(name for name in self.outcomes if self.bands[name].holds(value))


@dataclass(frozen=True, slots=True)
class CheckShows:
    """What one check shows when the article's fault is the fault."""

    check: CheckId
    shows: Mapping[str, float]
    """P(outcome | this cause); sums to 1."""


@dataclass(frozen=True, slots=True)
class Torque:
    """A tightening torque; the part's own marking goes first."""

    bolt: str
    min: float
    max: float
    unit: str


@dataclass(frozen=True, slots=True)
class Fix:
    """What cures the fault."""

    steps: tuple[str, ...]
    tools: tuple[str, ...]
    minutes: float
    skill: Skill
    parts: tuple[str, ...]
    torque: tuple[Torque, ...]


@dataclass(frozen=True, slots=True)
class Never:
    """Advice that a reply must not give, and why."""

    says: str
    because: str


@dataclass(frozen=True, slots=True)
class Source:
    """What stands behind the figures of an article."""

    title: str
    kind: SourceKind
    note: str


@dataclass(frozen=True, slots=True)
class Article:
    """One fault, one fit question or one practice, written in-house."""

    id: CauseId
    system: str
    """Name of the folder the file lies in."""
    title: str
    kind: Kind
    prevalence: Prevalence
    ride: Ride
    parts: tuple[ConceptId, ...]
    symptoms: tuple[str, ...]
    checks: tuple[CheckShows, ...]
    fix: Fix | None
    cautions: tuple[str, ...]
    never: tuple[Never, ...]
    working: str | None
    see: tuple[CauseId, ...]
    sources: tuple[Source, ...]
    body: str
    """The explanation a person reads, in Markdown."""

    def shows(self, check: CheckId) -> Mapping[str, float] | None:
        """Return P(outcome | this cause) for `check`, or None where the article doesn't speak of it."""
        return next((item.shows for item in self.checks if item.check == check), None)


@dataclass(frozen=True, slots=True)
class Concept:
    """One thing riders speak of, with the words they use for it."""

    id: ConceptId
    kind: ConceptKind
    words: tuple[str, ...]
    """Said everywhere; the first is the display name."""
    uk: tuple[str, ...] = ()
    us: tuple[str, ...] = ()
    lay: tuple[str, ...] = ()
    broader: tuple[ConceptId, ...] = ()
    company: Mapping[str, tuple[str, ...]] = field(default_factory=dict)
    """Word of several meanings -> words of which one must stand in the same complaint for it to mean this."""
    misspelt: tuple[str, ...] = ()

    @property
    def phrases(self) -> tuple[str, ...]:
        """All words and phrases of the concept, misspellings included, in file order."""
        return self.words + self.uk + self.us + self.lay + self.misspelt


@dataclass(frozen=True, slots=True)
class Complaint:
    """A labelled complaint, for calibration and evaluation."""

    text: str
    gold: CauseId | None
    """The article that answers it; None where none of ours does."""
    also: tuple[CauseId, ...] = ()
    """Articles that answer it just as well."""
    voice: Voice = Voice.COMMENT
    stated: Mapping[CheckId, str | float] = field(default_factory=dict)
    """Readings that the text itself states."""
    danger: bool = False
    """Whether riding on could cause a fall or a brake failure."""
    origin: str = ""
    """Name of the file it stands in, without its ending; files named test-… are never fitted to."""

    @property
    def is_test(self) -> bool:
        """Whether it belongs to the test part, which nothing is fitted to."""
        return self.origin.startswith(TEST_PREFIX)


@dataclass(frozen=True, slots=True)
class Library:
    """All that is known, read from one folder; ordered by id, whatever the order of the files."""

    articles: Mapping[CauseId, Article]
    checks: Mapping[CheckId, Check]
    lexicon: Mapping[ConceptId, Concept]
    complaints: tuple[Complaint, ...]
    lines: Mapping[tuple[str | int, ...], tuple[Path, int]] = field(default_factory=dict, compare=False, repr=False)
    """Where each thing stands: ("article", id, "checks", 2) -> file and line; used to point at problems."""

    def place(self, *key: str | int) -> tuple[Path, int]:
        """Return file and line of the nearest known ancestor of `key`."""
        while key:
            if key in self.lines:
                return self.lines[key]
            key = key[:-1]
        return Path("."), 0
