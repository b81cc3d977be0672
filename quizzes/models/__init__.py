"""What is kept: runs and questions, answers, rulings, strengths, homework sets, calibrations."""

from quizzes.models.answers import Answer
from quizzes.models.homework import HomeworkSet
from quizzes.models.rulings import Ruling, judged
from quizzes.models.runs import Question, Run
from quizzes.models.strengths import Calibration, Strength, StrengthDay

__all__ = [
    "Answer",
    "Calibration",
    "HomeworkSet",
    "Question",
    "Ruling",
    "Run",
    "Strength",
    "StrengthDay",
    "judged",
]
