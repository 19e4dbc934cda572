"""Rankers that have not seen the complaints they are asked: one round of complaints is left out at a time.

A search that has learnt a complaint answers it better than a rider's it has never heard, so that scores on the training
part mean something only this way. Rounds are those of `training`: a1.yaml, a2.yaml … were written together.
"""

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace

from kb.library.models import Complaint, Library
from kb.search.ranker import Ranker
from kb.search.training import SETTINGS, SearchSettings, train, training_part
from kb.text.analysis import Analyser

__all__ = ["Round", "UnseenPart", "rounds_of", "unseen_parts"]


@dataclass(frozen=True, slots=True)
class Round:
    """Complaints that are left out together."""

    name: str
    complaints: tuple[Complaint, ...]


@dataclass(frozen=True, slots=True)
class UnseenPart:
    """Complaints, and a ranker trained on all of the training part but them."""

    ranker: Ranker
    complaints: tuple[Complaint, ...]


def rounds_of(complaints: Sequence[Complaint], parts: int) -> tuple[Round, ...]:
    """Return the rounds of complaints that have an article; the others are dealt out to them evenly.

    Where there are fewer than two rounds, all complaints are dealt out to `parts` parts.
    """
    origins = [complaint.origin.rstrip("0123456789") for complaint in complaints]
    labelled = sorted({name for name, item in zip(origins, complaints, strict=True) if item.gold is not None})
    names = labelled if len(labelled) > 1 else [f"part {number + 1}" for number in range(parts)]
    members: dict[str, list[Complaint]] = {name: [] for name in names}
    for number, (origin, complaint) in enumerate(zip(origins, complaints, strict=True)):
        own = complaint.gold is not None and origin in members
        members[origin if own else names[number % len(names)]].append(complaint)
    return tuple(Round(name, tuple(items)) for name, items in members.items() if items)


def unseen_parts(
    library: Library,
    analyser: Analyser,
    english: Mapping[str, int],
    settings: SearchSettings = SETTINGS,
    progress: Callable[[str], None] | None = None,
) -> Iterator[UnseenPart]:
    """Yield the training part round by round, each with a ranker trained without it; minutes for a real library.

    english: as for `train`. The spelling vocabulary is shared; no complaint is in it.
    """
    rounds = rounds_of(training_part(library), settings.folds)
    for number, left_out in enumerate(rounds, 1):
        kept = tuple(item for other in rounds if other is not left_out for item in other.complaints)
        tell = _telling(progress, f"round {number} of {len(rounds)}")
        ranker = train(replace(library, complaints=kept), analyser, english, settings, tell)
        yield UnseenPart(ranker, left_out.complaints)


def _telling(progress: Callable[[str], None] | None, name: str) -> Callable[[str], None] | None:
    return None if progress is None else lambda what: progress(f"{name}: {what}")
