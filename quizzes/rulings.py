"""A teacher overrules a verdict: the ruling is kept, and the student's strength follows it.

A decision reaches one answer, all that are alike, or later ones too until it is withdrawn. Alike are the
answers of the same likeness in the same homework set, or else in practice, of students of this teacher.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from datetime import datetime
from typing import TYPE_CHECKING, Literal

from django.db import transaction
from django.db.models import Count, Q
from django.utils.translation import ngettext

from accounts.changes import Told, undoes
from accounts.models import Change
from accounts.models import User as Student
from accounts.prepared import Prepared
from quizzes.models import Answer, Ruling, SentIn, StandingRuling
from quizzes.models.answers import AnswerQuerySet
from quizzes.recompute import recompute

if TYPE_CHECKING:
    from accounts.models import User

Reach = Literal["this", "alike", "later"]
LIKE = Prepared(
    lambda likeness: (
        StandingRuling.objects.holding().filter(likeness=likeness).order_by().values_list("pk", flat=True)[:1]
    )
)
LikeCounts = Mapping[tuple[int, int | None], int]
"""How many answers share a likeness, by likeness and homework set."""


class NotToBeRuledError(Exception):
    """The answer cannot be overruled: its question is still open, or nothing was answered."""


def can_be_ruled(answer: Answer) -> bool:
    """An open question waits: a ruling would change what the next try counts as."""
    return answer.verdict != "shown" and answer.question.is_over


def can_reach_later(answer: Answer) -> bool:
    """What could not be read did not count; a decision on the spot would make the next try a second one."""
    return answer.score is not None and answer.likeness is not None


def rule(answer: Answer, decision: str, note: str, by: User, at: datetime) -> Ruling:
    """Let `decision` stand for the verdict on an answer. Raises NotToBeRuledError."""
    if not can_be_ruled(answer):
        raise NotToBeRuledError("This answer cannot be overruled.")
    with transaction.atomic():
        ruling = Ruling.objects.give(answer, decision, note, by, at)
        recompute(answer.student)
    return ruling


def decide(answer: Answer, decision: str, note: str, by: User, at: datetime, reach: Reach) -> int:
    """Overrule an answer and what else the decision reaches; how many others there were.

    More than one can be taken back for a day, and who asked about one of them has a reply. Strengths
    follow student by student, each under its own lock, so that nobody else waits for the whole class.
    Raises NotToBeRuledError.
    """
    if not can_be_ruled(answer):
        raise NotToBeRuledError("This answer cannot be overruled.")
    others = [each for each in alike(answer, by) if each.pk != answer.pk] if reach != "this" else []
    later = reach == "later" and can_reach_later(answer) and decision != Ruling.Decision.WITHDRAWN
    reached = [answer, *others]
    with transaction.atomic():
        standing = _stand(answer, decision, note, by, at) if later else None
        given = [Ruling.objects.give(each, decision, note, by, at, standing) for each in reached]
        SentIn.objects.close_with(reached, note, by, at)
        if standing or others:
            _keep_change(given, standing, by, at)
    _recompute_all(each.student for each in reached)
    return len(others)


def _keep_change(given: Sequence[Ruling], standing: StandingRuling | None, by: User, at: datetime) -> None:
    payload = {"rulings": [ruling.pk for ruling in given], "standing": standing.pk if standing else None}
    told = {"count": len(given), "later": standing is not None}
    Change.objects.record(by, "rule_alike", at, told, payload)


def _recompute_all(students: Iterable[User]) -> None:
    for student in {each.pk: each for each in students}.values():
        recompute(student)


def _stand(answer: Answer, decision: str, note: str, by: User, at: datetime) -> StandingRuling:
    """From now on; an earlier decision of the teacher on the same gives way."""
    assert answer.likeness is not None
    homework = answer.question.run.homework_set
    same = StandingRuling.objects.holding().filter(likeness=answer.likeness, homework_set=homework, by=by)
    same.update(withdrawn_at=at)
    return StandingRuling.objects.create(
        likeness=answer.likeness,
        homework_set=homework,
        answer=answer,
        decision=decision,
        note=note,
        by=by,
        at=at,
    )


def standing_for(answer: Answer) -> StandingRuling | None:
    """The decision that holds for an answer just coming in.

    Hardly any answer is like a decided one, so a plain question to the index comes first.
    """
    if answer.likeness is None or not can_reach_later(answer):
        return None
    if not LIKE(answer.likeness):
        return None
    found = StandingRuling.objects.for_answer(answer, answer.question.run.homework_set_id)
    return found.select_related("by").first()


def apply_standing(standing: StandingRuling, answer: Answer) -> Ruling:
    """Keep with a stored answer that it was decided; the caller has let it count so."""
    return Ruling.objects.give(answer, standing.decision, standing.note, standing.by, answer.at, standing)


def withdraw(standing: StandingRuling, by: User, at: datetime) -> int:
    """It decides nothing more, and what it decided stands as it was judged before; how many answers."""
    with transaction.atomic():
        ended = StandingRuling.objects.holding().filter(pk=standing.pk).update(withdrawn_at=at)
        restored = _put_back(standing.rulings.values_list("pk", flat=True), by, at) if ended else []
    _recompute_all(answer.student for answer in restored)
    return len(restored)


def restore(rulings: Iterable[int], by: User, at: datetime) -> int:
    """Put each answer back to how it stood before these rulings, unless it was ruled again since."""
    with transaction.atomic():
        restored = _put_back(rulings, by, at)
    _recompute_all(answer.student for answer in restored)
    return len(restored)


def _put_back(rulings: Iterable[int], by: User, at: datetime) -> list[Answer]:
    given = Ruling.objects.filter(pk__in=list(rulings)).select_related("answer__student").order_by("pk")
    restored = []
    for ruling in given:
        last, *before = Ruling.objects.filter(answer=ruling.answer_id).order_by("-pk")[:2]
        if last.pk == ruling.pk:
            decision, note = _earlier(before)
            Ruling.objects.give(ruling.answer, decision, note, by, at)
            restored.append(ruling.answer)
    return restored


def _earlier(before: Sequence[Ruling]) -> tuple[str, str]:
    return (before[0].decision, before[0].note) if before else (Ruling.Decision.WITHDRAWN, "")


def like_counts(answers: AnswerQuerySet) -> LikeCounts:
    """How many of these answers are alike, by likeness and set, in one query."""
    rows = answers.exclude(likeness=None).order_by().values_list("likeness", "question__run__homework_set")
    return {(like or 0, homework): count for like, homework, count in rows.annotate(count=Count("pk"))}


def others_alike(answer: Answer, counts: LikeCounts) -> int:
    """How many answers there are that are like this one, beside it."""
    if answer.likeness is None:
        return 0
    return max(counts.get((answer.likeness, answer.question.run.homework_set_id), 0) - 1, 0)


def alike(answer: Answer, teacher: User) -> list[Answer]:
    """The answers that a decision on this one reaches, itself among them."""
    if answer.likeness is None:
        return [answer]
    found = to_be_ruled(teacher).filter(
        likeness=answer.likeness, question__run__homework_set=answer.question.run.homework_set_id
    )
    return list(found.select_related("question__run", "student").order_by("pk"))


def to_be_ruled(teacher: User) -> AnswerQuerySet:
    """Answers that can be overruled, of the students of this teacher."""
    over = Q(question__finished_at__isnull=False) | Q(question__run__ended_at__isnull=False)
    answers = Answer.objects.filter(over, student__in=Student.objects.taught_by(teacher))
    return answers.exclude(verdict="shown").order_by()


def _told(told: Told) -> str:
    sentence = ngettext("%(count)d answer decided.", "%(count)d like answers decided.", told["count"])
    if told["later"]:
        sentence = ngettext(
            "%(count)d answer decided, and later ones that are alike.",
            "%(count)d like answers decided, and later ones too.",
            told["count"],
        )
    return sentence % told


@undoes("rule_alike", _told)
def _take_back(change: Change, at: datetime) -> None:
    standing = StandingRuling.objects.filter(pk=change.payload["standing"]).first()
    if standing is not None:
        withdraw(standing, change.who, at)
    restore(change.payload["rulings"], change.who, at)
