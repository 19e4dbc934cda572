import pytest
from flask import Flask
from flask.testing import FlaskClient

from kb.answer import Answerer
from service.app import create_app


@pytest.fixture(scope="session")
def app(answerer: Answerer) -> Flask:
    return create_app(answerer)


@pytest.fixture
def client(app: Flask) -> FlaskClient:
    return app.test_client()
