"""The JSON interface: the batch contract over HTTP, errors as problem details (RFC 9457)."""

import json

import pytest
from click.testing import CliRunner
from flask.testing import FlaskClient

from kb.cli import cli


def test_the_interface_answers_as_batch_does(client: FlaskClient) -> None:
    line = json.dumps({"text": "saddle creaks when seated", "readings": {"saddle-rails": "dry"}, "top": 3})
    from_batch = json.loads(CliRunner().invoke(cli, ["ask", "--batch"], input=line + "\n").stdout)
    assert client.post("/api/v1/ask", data=line).get_json() == from_batch


@pytest.mark.parametrize(
    ("body", "status"),
    [
        (b"not json", 400),
        (b"[]", 400),
        (b'{"text": 5}', 400),
        (b'{"text": ""}', 400),
        (b'{"text": "x", "colour": "red"}', 400),
        (b'{"text": "chain", "readings": {"nope": "x"}}', 404),
        (b"\xff\xfe", 400),
        (b'{"text": "' + b"x" * 300_000 + b'"}', 413),
    ],
)
def test_errors_are_problem_details(body: bytes, status: int, client: FlaskClient) -> None:
    response = client.post("/api/v1/ask", data=body)
    assert response.status_code == status
    assert response.content_type == "application/problem+json"
    assert set(json.loads(response.data)) == {"type", "title", "status", "detail"}
    assert json.loads(response.data)["status"] == status


def test_wrong_method_is_refused_not_failed(client: FlaskClient) -> None:
    assert client.get("/api/v1/ask").status_code == 405


def test_health_tells_what_is_loaded(client: FlaskClient) -> None:
    assert client.get("/api/v1/health").get_json()["articles"] >= 198
