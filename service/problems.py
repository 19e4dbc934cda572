"""Errors on the web: which status each has, as a page for a person and as problem details (RFC 9457) for a program."""

from flask import Flask, Response, current_app, render_template, request
from werkzeug.exceptions import HTTPException, InternalServerError

from kb.errors import BadInput, KbError, LibraryInvalid, NotKnown
from kb.wire import dumps

__all__ = ["STATUS", "register"]

STATUS: dict[type[KbError], int] = {BadInput: 400, NotKnown: 404, LibraryInvalid: 503, KbError: 500}
_TITLES = {400: "That could not be read", 404: "There is no such page", 413: "That is too long", 503: "Not ready"}
_API = "/api/"


def register(app: Flask) -> None:
    """Answer errors of ours, of HTTP and, as the last resort, any other."""
    app.register_error_handler(KbError, _of_ours)
    app.register_error_handler(HTTPException, _of_http)
    app.register_error_handler(Exception, _unforeseen)


def _of_ours(error: KbError) -> Response:
    status = next(code for kind, code in STATUS.items() if isinstance(error, kind))
    return _shown(status, str(error))


def _of_http(error: HTTPException) -> Response:
    if error.code is None or error.code < 400:
        return Response(error.get_response().get_data(), error.code or 500, dict(error.get_headers()))
    return _shown(error.code, error.description or "")


def _unforeseen(error: Exception) -> Response:
    current_app.logger.error("unforeseen error on %s", request.path, exc_info=error)
    return _shown(500, InternalServerError.description)


def _shown(status: int, detail: str) -> Response:
    title = _TITLES.get(status, "That did not work")
    if request.path.startswith(_API):
        body = dumps({"type": "about:blank", "title": title, "status": status, "detail": detail})
        return Response(body, status, content_type="application/problem+json")
    return Response(render_template("problem.html", title=title, detail=detail), status)
