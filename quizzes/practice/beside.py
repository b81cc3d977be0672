"""What stands beside an answer from a teacher: decisions, and what became of a part that was sent in."""

from __future__ import annotations

from quizzes.models import Answer, Question, Ruling, SentIn
from quizzes.practice.shown import ShownPart


def standing_rulings(answer: Answer) -> list[Ruling]:
    """The decisions that hold for the answers to the same part of a question, by answer."""
    given = Ruling.objects.filter(answer__question=answer.question_id, answer__part=answer.part)
    last = {
        ruling.answer_id: ruling
        for ruling in given.select_related("answer", "by").order_by("answer__number", "pk")
    }
    return [ruling for ruling in last.values() if ruling.decision != Ruling.Decision.WITHDRAWN]


def sent_in_of(question: Question, shown: ShownPart) -> SentIn | None:
    """The last time a part was sent in to a teacher; no query where it cannot have been."""
    if not shown.may_have_been_sent:
        return None
    sent = SentIn.objects.filter(question=question, part=shown.index)
    return sent.select_related("closed_by").first()
