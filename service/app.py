"""The application factory: everything a web process holds is built here, once."""

import logging

from flask import Flask, Response

from kb.answer import Answerer
from service import problems
from service.api.routes import api
from service.public.routes import public

__all__ = ["create_app"]

LONGEST_REQUEST = 256 * 1024
"""Bytes of a request body; a complaint is 20,000 characters at most."""

_CONTENT_POLICY = (
    "default-src 'none'; style-src 'self'; img-src 'self'; form-action 'self'; base-uri 'none'; frame-ancestors 'none'"
)


def create_app(answerer: Answerer) -> Flask:
    """Return an application that answers with `answerer`, which it keeps in `app.extensions["answerer"]`."""
    app = Flask(__name__)
    app.config["MAX_CONTENT_LENGTH"] = LONGEST_REQUEST
    app.extensions["answerer"] = answerer
    app.jinja_env.trim_blocks = True
    app.jinja_env.lstrip_blocks = True
    app.register_blueprint(public)
    app.register_blueprint(api, url_prefix="/api/v1")
    problems.register(app)
    app.after_request(_headers)
    app.logger.setLevel(logging.INFO)
    return app


def _headers(response: Response) -> Response:
    response.headers.setdefault("Content-Security-Policy", _CONTENT_POLICY)
    response.headers.setdefault("X-Content-Type-Options", "nosniff")
    response.headers.setdefault("Referrer-Policy", "no-referrer")
    return response
