"""Addresses of the JSON interface under /api/v1."""

from flask import Blueprint, Response, current_app, request

from kb.answer import Answerer
from kb.errors import BadInput
from kb.wire import answer_to_wire, dumps, question_from_line

__all__ = ["api"]

api = Blueprint("api", __name__)


@api.post("/ask")
def ask() -> Response:
    """Answer one object of the batch contract."""
    answerer: Answerer = current_app.extensions["answerer"]
    try:
        line = request.get_data().decode("utf-8")
    except UnicodeDecodeError as error:
        raise BadInput("body", f"a byte that is not UTF-8 at {error.start}", "one JSON object in UTF-8") from None
    return _json(answer_to_wire(answerer.answer(question_from_line(line))))


@api.get("/health")
def health() -> Response:
    """Tell that the process answers, and what it holds."""
    answerer: Answerer = current_app.extensions["answerer"]
    return _json({"status": "ok", "articles": len(answerer.library.articles), "checks": len(answerer.library.checks)})


def _json(value: object) -> Response:
    return Response(dumps(value), content_type="application/json")
