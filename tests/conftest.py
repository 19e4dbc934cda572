"""Fixtures of all tests: the small library made for the purpose, and the real one, loaded once."""

import os
from pathlib import Path

import pytest
from hypothesis import HealthCheck, settings

from kb.answer import Answerer
from kb.library.load import articles_folder, load_library
from kb.library.models import Library
from kb.opening import open_answerer
from tests.builders import load_small, small_folder

settings.register_profile("fast", max_examples=40, deadline=None, suppress_health_check=[HealthCheck.too_slow])
settings.register_profile("thorough", max_examples=400, deadline=None, suppress_health_check=[HealthCheck.too_slow])
settings.load_profile(os.environ.get("TRUESTAND_HYPOTHESIS", "fast"))


@pytest.fixture(scope="session", autouse=True)
def _own_cache(tmp_path_factory: pytest.TempPathFactory) -> None:
    """Keep trained searches of the tests out of the user's cache."""
    os.environ["TRUESTAND_CACHE"] = str(tmp_path_factory.mktemp("cache"))


@pytest.fixture(scope="session")
def small_library(tmp_path_factory: pytest.TempPathFactory) -> Library:
    return load_small(tmp_path_factory.mktemp("small"))


@pytest.fixture(scope="session")
def small_answerer(tmp_path_factory: pytest.TempPathFactory) -> Answerer:
    return open_answerer(small_folder(tmp_path_factory.mktemp("small-answerer")))


@pytest.fixture(scope="session")
def answerer() -> Answerer:
    """The answerer over the real articles."""
    return open_answerer()


@pytest.fixture(scope="session")
def library() -> Library:
    """The real articles, with the labelled complaints."""
    return load_library(articles_folder())


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    """A fresh copy of the small library's folder, to break."""
    return small_folder(tmp_path)
