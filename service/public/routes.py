"""The rider's addresses."""

from dataclasses import replace

from flask import Blueprint, current_app, redirect, render_template, request
from werkzeug.wrappers import Response

from kb.answer import Answerer
from kb.library.models import CheckId
from service.public.address import answer_address, outcome_or_number, question_from_address
from service.views import answer_page, article_page, check_page, index_page

__all__ = ["public"]

public = Blueprint("public", __name__)


def _answerer() -> Answerer:
    answerer: Answerer = current_app.extensions["answerer"]
    return answerer


@public.get("/")
def home() -> str:
    """Show the box for a complaint."""
    return render_template("home.html", text="", skill="home")


@public.get("/answer")
def answer() -> str | Response:
    """Answer the complaint in the address; a reading just entered is first moved into the address."""
    question = question_from_address(request.args)
    entered = request.args.get("check")
    if entered:
        found = request.args.get("number", "").strip() or request.args.get("found", "").strip()
        if found:
            value = outcome_or_number(found)
            question = replace(question, readings={**question.readings, CheckId(entered): value})
            _answerer().answer(question)  # refused here, before the address says it
        return redirect(answer_address(question), 303)
    if not question.text.strip():
        return render_template("home.html", text="", skill=question.skill)
    return render_template("answer.html", page=answer_page(_answerer().answer(question), _answerer()))


@public.get("/article/<id>")
def article(id: str) -> str:
    """Show one article."""
    answerer = _answerer()
    return render_template("article.html", page=article_page(answerer.article(id), answerer.library))


@public.get("/check/<id>")
def check(id: str) -> str:
    """Show one check."""
    answerer = _answerer()
    return render_template("check.html", page=check_page(answerer.check(id), answerer.library))


@public.get("/articles")
def articles() -> str:
    """Show all articles and checks."""
    return render_template("index.html", page=index_page(_answerer().library))
