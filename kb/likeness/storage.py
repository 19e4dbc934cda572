"""The index as a folder: a JSON head that names its segments, and each segment's arrays as mapped `.npy` files.

    head.json                    format, segments with type, shape and SHA-256 of every array, and a digest of all that
    segment-<digest>/<array>.npy never changed once written
    draft-*                      what a writer that died left; the next writer clears it away
    lock                         held while writing (released by the system if the writer dies)

Nothing takes effect before the head is replaced, in one step: a reader sees the old index or the new one. Nothing that
is read could run code.
"""

import fcntl
import hashlib
import json
import os
import shutil
import tempfile
from collections.abc import Iterable, Iterator, Mapping
from contextlib import contextmanager
from dataclasses import asdict, dataclass
from pathlib import Path

import numpy as np

from kb.errors import BadInput
from kb.likeness.segment import ARRAYS, Segment, restore_segment

__all__ = ["ArrayFile", "Entry", "clear_away", "locked", "read_head", "read_segment", "write_head", "write_segment"]

FORMAT = "truestand likeness 1"
_HEAD, _LOCK, _SEGMENT, _DRAFT = "head.json", "lock", "segment-", "draft-"
_NAME_DIGITS = 24


@dataclass(frozen=True, slots=True)
class ArrayFile:
    """What the head says of one array."""

    dtype: str
    size: int
    sha256: str
    """Of the whole file."""


@dataclass(frozen=True, slots=True)
class Entry:
    """What the head says of one segment."""

    name: str
    """Made from its content: segments with the same texts have the same name."""
    arrays: Mapping[str, ArrayFile]


@contextmanager
def locked(folder: Path) -> Iterator[None]:
    """Hold the folder for writing; waits for another writer.

    Raises: BadInput if it is no folder or holds anything but an index.
    """
    if not folder.is_dir():
        raise _unusable(folder, "there is no such folder")
    for path in folder.iterdir():
        if path.name not in (_HEAD, _LOCK) and not path.name.startswith((_SEGMENT, _DRAFT)):
            raise BadInput("likeness", str(folder), f"a folder with nothing but an index in it (found {path.name})")
    with (folder / _LOCK).open("w") as lock:
        fcntl.flock(lock, fcntl.LOCK_EX)
        yield


def write_segment(folder: Path, segment: Segment) -> Entry:
    """Write a segment under a name made from its content; it takes effect with the next `write_head`."""
    draft = Path(tempfile.mkdtemp(dir=folder, prefix=_DRAFT))
    files: dict[str, ArrayFile] = {}
    for name, array in segment.arrays.items():
        path = draft / f"{name}.npy"
        with path.open("wb") as file:
            np.save(file, array, allow_pickle=False)
            file.flush()
            os.fsync(file.fileno())
        files[name] = ArrayFile(array.dtype.str, array.size, _sha256(path))
    entry = Entry(_SEGMENT + _digest(files)[:_NAME_DIGITS], files)
    target = folder / entry.name
    if target.exists():  # written before by a writer that died, or in use with the same texts; maybe damaged since
        shutil.rmtree(target)
    draft.rename(target)
    return entry


def write_head(folder: Path, entries: Iterable[Entry]) -> None:
    """Make the segments named the index, in one step."""
    segments = [asdict(entry) for entry in entries]
    head = {"format": FORMAT, "segments": segments, "digest": _digest_of(segments)}
    handle, draft = tempfile.mkstemp(dir=folder, prefix=_DRAFT)
    with os.fdopen(handle, "w", encoding="utf-8") as file:
        json.dump(head, file, indent=1)
        file.flush()
        os.fsync(file.fileno())
    os.replace(draft, folder / _HEAD)


def read_head(folder: Path) -> tuple[Entry, ...]:
    """Return the segments of the index in the folder.

    Raises: BadInput if there is none or its head is damaged.
    """
    try:
        head = json.loads((folder / _HEAD).read_text(encoding="utf-8"))
        if head["format"] != FORMAT:
            raise _unusable(folder, f"its format is {head['format']!r}, not {FORMAT!r}")
        if head["digest"] != _digest_of(head["segments"]):
            raise _unusable(folder, "the digest of its head is wrong")
        return tuple(
            Entry(item["name"], {name: ArrayFile(**item["arrays"][name]) for name in ARRAYS})
            for item in head["segments"]
        )
    except OSError as error:
        raise _unusable(folder, f"{_HEAD} cannot be read: {error.strerror}") from error
    except (json.JSONDecodeError, UnicodeDecodeError, KeyError, TypeError) as error:
        raise _unusable(folder, f"{_HEAD} is not the head of an index") from error


def read_segment(folder: Path, entry: Entry) -> Segment:
    """Return a segment with its arrays mapped, after comparing every byte with the digests in the head.

    Raises: BadInput if a file is damaged; FileNotFoundError if the segment is gone.
    """
    arrays = {}
    for name, expected in entry.arrays.items():
        path = folder / entry.name / f"{name}.npy"
        if _sha256(path) != expected.sha256:
            raise _unusable(folder, f"{entry.name}/{path.name} was changed or cut short")
        try:
            arrays[name] = np.asarray(np.load(path, mmap_mode="r", allow_pickle=False))
        except ValueError as error:
            raise _unusable(folder, f"{entry.name}/{path.name} is not an array") from error
    try:
        return restore_segment(arrays)
    except ValueError as error:
        raise _unusable(folder, f"{entry.name}: {error}") from error


def clear_away(folder: Path, entries: Iterable[Entry]) -> None:
    """Remove segments that the index doesn't name and drafts of writers that died; call it while `locked`.

    Those who have an old segment mapped keep reading it.
    """
    kept = {_HEAD, _LOCK, *(entry.name for entry in entries)}
    for path in folder.iterdir():
        if path.name in kept:
            continue
        if path.is_dir():
            shutil.rmtree(path)
        else:
            path.unlink()


def _unusable(folder: Path, reason: str) -> BadInput:
    return BadInput("likeness", str(folder), f"a folder with an index of past complaints; {reason}")


def _sha256(path: Path) -> str:
    with path.open("rb") as file:
        return hashlib.file_digest(file, "sha256").hexdigest()


def _digest(files: Mapping[str, ArrayFile]) -> str:
    return hashlib.sha256("\n".join(f"{name} {files[name].sha256}" for name in ARRAYS).encode()).hexdigest()


def _digest_of(segments: object) -> str:
    return hashlib.sha256(json.dumps(segments, sort_keys=True).encode()).hexdigest()
