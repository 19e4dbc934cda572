"""Truestand's core: articles in, answers out; knows nothing of the web, the store or mail.

Read on in `answer` (the front door), then stage by stage: `library`, `text`, `search`, `diagnosis`.
"""

from kb.answer import Answer, Answerer, Question
from kb.errors import BadInput, KbError, LibraryInvalid, NotKnown, Problem
from kb.opening import open_answerer

__all__ = [
    "Answer",
    "Answerer",
    "BadInput",
    "KbError",
    "LibraryInvalid",
    "NotKnown",
    "Problem",
    "Question",
    "open_answerer",
]
