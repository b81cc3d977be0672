"""All that is kept of one student: given out as plain values, or erased."""

from __future__ import annotations

from collections.abc import Mapping
from typing import TYPE_CHECKING, Any

from django.db import transaction

from accounts.models import Look
from quizzes import steering
from quizzes.models import Answer, Extension, Ruling, Run, SentIn, StrengthDay, judged
from quizzes.upkeep.retention import count

if TYPE_CHECKING:
    from datetime import datetime

    from accounts.models import User


def data_of(student: User, at: datetime) -> dict[str, Any]:
    """Everything kept of a student, as JSON can hold it; times in UTC with their offset."""
    return {
        "person": _person(student),
        "classes": [
            {"name": each.school_class.name, "joined": each.joined_at.isoformat(), "as": each.role}
            for each in student.memberships.select_related("school_class").order_by("joined_at")
        ],
        "strengths": {
            topic: {"chance": chance.mean, "low": chance.low, "high": chance.high, "answers": chance.answers}
            for topic, chance in steering.chances(student, at).items()
        },
        "days": [
            {"date": day.date.isoformat(), "answers": day.answers, "topics": day.topics}
            for day in StrengthDay.objects.filter(student=student).order_by("date")
        ],
        "runs": [_run(run) for run in Run.objects.of(student).order_by("pk").prefetch_related("questions")],
        "answers": [_answer(answer) for answer in _answers(student)],
        **_between_people(student),
    }


def _between_people(student: User) -> Mapping[str, Any]:
    """What went to and fro between the student and the teachers."""
    return {
        "sent_in": [
            {
                "question": str(each.question.public_id),
                "note": each.note,
                "at": each.at.isoformat(),
                "reply": each.reply,
            }
            for each in SentIn.objects.filter(student=student).select_related("question").order_by("pk")
        ],
        "rulings": [
            {
                "answer": each.answer.number,
                "decision": each.decision,
                "note": each.note,
                "at": each.at.isoformat(),
            }
            for each in Ruling.objects.filter(answer__student=student).select_related("answer").order_by("pk")
        ],
        "more_time": [
            {"homework": each.homework_set.title, "due": each.due_at.isoformat()}
            for each in Extension.objects.filter(student=student)
            .select_related("homework_set")
            .order_by("pk")
        ],
        "looks": [
            {"by": each.by.display_name, "page": each.what, "at": each.at.isoformat()}
            for each in Look.objects.at_data_of(student).select_related("by")
        ],
    }


def _person(student: User) -> Mapping[str, Any]:
    return {
        "sign_in_name": student.username,
        "shown_name": student.display_name,
        "language": student.language,
        "time_zone": student.time_zone,
        "last_sign_in": student.last_login.isoformat() if student.last_login else None,
    }


def _run(run: Run) -> Mapping[str, Any]:
    return {
        "setup": run.setup_json,
        "level": run.level,
        "homework": run.homework_set_id is not None,
        "started": run.started_at.isoformat(),
        "ended": run.ended_at.isoformat() if run.ended_at else None,
        "questions": [
            {"id": str(each.public_id), "skill": each.skill, "made": each.made_at.isoformat()}
            for each in run.questions.all()
        ],
    }


def _answers(student: User) -> Any:
    answers = judged(Answer.objects.filter(student=student))
    return answers.select_related("question").order_by("number").iterator(chunk_size=500)


def _answer(answer: Any) -> Mapping[str, Any]:
    return {
        "number": answer.number,
        "question": str(answer.question.public_id),
        "part": answer.part,
        "asked": answer.question.snapshot.parts[answer.part].prompt,
        "typed": answer.typed,
        "verdict": answer.verdict,
        "codes": answer.codes,
        "message": answer.message,
        "score": answer.final,
        "hints": answer.hints_seen,
        "at": answer.at.isoformat(),
    }


@transaction.atomic
def erase(student: User) -> int:
    """Delete a student with all that belongs to him; how many answers went.

    Of the answers only counts by skill and verdict stay, which name nobody.
    """
    steering.locked(student)
    answers = Answer.objects.filter(student=student)
    count(answers)
    number = answers.count()
    student.delete()
    return number
