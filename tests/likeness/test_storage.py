import json
import os
import shutil
import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path

import numpy as np
import pytest

from kb.errors import BadInput, KbError
from kb.likeness import LikenessIndex, build_likeness, open_likeness

TEXTS = [("a", "chain slips under load"), ("b", "brake squeals"), ("c", "chain creaks")]
MORE = [("d", "saddle creaks"), ("e", "new chain slips")]


@pytest.fixture
def index(tmp_path: Path) -> LikenessIndex:
    return build_likeness(tmp_path / "index", TEXTS)


def an_array(index: LikenessIndex, name: str) -> Path:
    return index.folder / index.entries[0].name / f"{name}.npy"


def found(folder: Path) -> set[str]:
    return {hit.id for hit in open_likeness(folder).search("chain slips creaks")}


def test_a_missing_folder_is_named(tmp_path: Path) -> None:
    with pytest.raises(KbError, match=r"nowhere.*head\.json cannot be read"):
        open_likeness(tmp_path / "nowhere")


def test_a_folder_of_something_else_is_neither_read_nor_overwritten(tmp_path: Path) -> None:
    (tmp_path / "letter.txt").write_text("dear rider")
    with pytest.raises(KbError, match="cannot be read"):
        open_likeness(tmp_path)
    with pytest.raises(KbError, match=r"found letter\.txt"):
        build_likeness(tmp_path, TEXTS)
    assert [path.name for path in tmp_path.iterdir()] == ["letter.txt"]


@pytest.mark.parametrize("head", ["", "[]", "{}", '{"format": "truestand likeness 1"}', "\x80", "null"])
def test_a_foreign_head_is_refused(index: LikenessIndex, head: str) -> None:
    (index.folder / "head.json").write_bytes(head.encode("latin-1"))
    with pytest.raises(KbError, match="is not the head of an index"):
        open_likeness(index.folder)


def test_a_head_of_another_version_is_refused_by_name(index: LikenessIndex) -> None:
    path = index.folder / "head.json"
    path.write_text(path.read_text().replace("likeness 1", "likeness 99"))
    with pytest.raises(KbError, match="likeness 99"):
        open_likeness(index.folder)


def test_a_head_that_was_edited_is_refused(index: LikenessIndex) -> None:
    path = index.folder / "head.json"
    head = json.loads(path.read_text())
    head["segments"] = []
    path.write_text(json.dumps(head))
    with pytest.raises(KbError, match="digest"):
        open_likeness(index.folder)


@pytest.mark.parametrize("name", ["ids", "id_starts", "terms", "term_starts", "starts", "places", "weights"])
def test_one_flipped_bit_in_any_array_is_noticed(index: LikenessIndex, name: str) -> None:
    path = an_array(index, name)
    content = bytearray(path.read_bytes())
    content[-1] ^= 1
    path.unlink()
    path.write_bytes(content)
    with pytest.raises(KbError, match=f"{name}.npy was changed"):
        open_likeness(index.folder)


def test_a_file_cut_short_is_noticed(index: LikenessIndex) -> None:
    path = an_array(index, "places")
    content = path.read_bytes()
    path.unlink()
    path.write_bytes(content[:-2])
    with pytest.raises(KbError, match="cut short"):
        open_likeness(index.folder)


def test_a_lost_segment_is_named(index: LikenessIndex) -> None:
    shutil.rmtree(index.folder / index.entries[0].name)
    with pytest.raises(KbError, match=index.entries[0].name):
        open_likeness(index.folder)


def test_objects_that_could_run_code_are_never_loaded(index: LikenessIndex) -> None:
    path = an_array(index, "places")
    path.unlink()
    np.save(path, np.array([print], dtype=object), allow_pickle=True)
    with pytest.raises(KbError, match="was changed"):
        open_likeness(index.folder)


def test_a_damaged_index_can_be_built_again_in_its_place(index: LikenessIndex) -> None:
    path = an_array(index, "weights")
    path.unlink()
    path.write_bytes(b"nothing")
    build_likeness(index.folder, TEXTS)
    assert found(index.folder) == {"a", "c"}


def test_building_again_leaves_only_the_new_texts(index: LikenessIndex) -> None:
    build_likeness(index.folder, MORE)
    assert found(index.folder) == {"d", "e"}
    assert len(list(index.folder.glob("segment-*"))) == 1


def test_a_text_that_fails_leaves_the_old_index(index: LikenessIndex) -> None:
    def failing() -> Iterator[tuple[str, str]]:
        yield from MORE
        raise ConnectionError("the texts stopped coming")

    with pytest.raises(ConnectionError):
        index.extend(failing())
    assert found(index.folder) == {"a", "c"}


def test_a_full_disk_at_the_last_step_leaves_the_old_index(
    index: LikenessIndex, monkeypatch: pytest.MonkeyPatch
) -> None:
    def full(*_: object) -> None:
        raise OSError("no space left on device")

    with monkeypatch.context() as patched:
        patched.setattr(os, "replace", full)
        with pytest.raises(OSError, match="no space"):
            index.extend(MORE)
    assert found(index.folder) == {"a", "c"}
    assert len(index.extend(MORE)) == 5
    names = {path.name.split("-")[0] for path in index.folder.iterdir()}
    assert names == {"head.json", "lock", "segment"}, "what the failed writer left is still there"


@pytest.mark.parametrize("step", ["fsync", "rename", "replace"])
def test_a_writer_killed_at_any_step_leaves_the_old_index(index: LikenessIndex, step: str) -> None:
    """The process ends without any clean-up in the middle of an extension."""
    code = f"""
import os, pathlib
from kb.likeness import open_likeness
index = open_likeness({str(index.folder)!r})
def die(*_): os._exit(9)
setattr(pathlib.Path if {step!r} == "rename" else os, {step!r}, die)
index.extend({MORE!r})
"""
    root = Path(__file__).parents[2]
    ended = subprocess.run([sys.executable, "-c", code], cwd=root, check=False)
    assert ended.returncode == 9
    assert found(index.folder) == {"a", "c"}
    assert len(open_likeness(index.folder).extend(MORE)) == 5


def test_extending_an_index_whose_folder_is_gone_says_so(index: LikenessIndex) -> None:
    shutil.rmtree(index.folder)
    with pytest.raises(BadInput, match="no such folder"):
        index.extend(MORE)


def test_a_path_to_a_file_is_not_a_folder(tmp_path: Path) -> None:
    path = tmp_path / "file"
    path.write_text("")
    with pytest.raises(BadInput, match="no such folder"):
        build_likeness(path, TEXTS)
