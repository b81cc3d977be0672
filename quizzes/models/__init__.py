"""What is kept: runs and questions, answers, rulings, things sent in, strengths, sets, calibrations."""

from quizzes.models.answers import Answer
from quizzes.models.homework import Extension, HomeworkSet
from quizzes.models.rulings import Ruling, StandingRuling, judged
from quizzes.models.runs import Question, Run
from quizzes.models.sent_in import SentIn
from quizzes.models.strengths import AnswerCount, Calibration, Strength, StrengthDay

__all__ = [
    "Answer",
    "AnswerCount",
    "Calibration",
    "Extension",
    "HomeworkSet",
    "Question",
    "Ruling",
    "Run",
    "SentIn",
    "StandingRuling",
    "Strength",
    "StrengthDay",
    "judged",
]
