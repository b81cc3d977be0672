"""An answer comes in: graded, stored and counted in one transaction, once."""

from __future__ import annotations

import uuid
from collections.abc import Sequence, Set
from datetime import datetime

from django.conf import settings
from django.db import IntegrityError, transaction
from django.utils.translation import gettext as _

from accounts.prepared import PreparedInsert
from problems import chain, words
from problems.grading.verdict import Verdict
from quizzes import steering
from quizzes.likeness import likeness
from quizzes.models import Answer, Question, StandingRuling, Strength
from quizzes.rulings import apply_standing, standing_for

PRACTICE_ATTEMPTS = 3
GIVE = PreparedInsert(Answer)


class ClosedError(Exception):
    """The question takes no answer any more: finished, out of attempts, or its set is closed."""


def attempts_allowed(question: Question) -> int:
    """How often a part may be tried before its solution is shown.

    A choice is tried once less than it has options, since the last one left teaches nothing.
    """
    homework = question.run.homework_set
    allowed = homework.attempts if homework else PRACTICE_ATTEMPTS
    options = max(len(part.options) for part in question.snapshot.parts)
    return min(allowed, max(options - 1, 1)) if options else allowed


def submit(
    question: Question, part: int, typed: str | Sequence[str], token: uuid.UUID, at: datetime
) -> Answer:
    """Judge what was typed for a part of a question and let it count.

    The same token again changes nothing and gives the first answer back. Raises ClosedError.
    """
    verdict = judge(question, part, typed)
    text = typed if isinstance(typed, str) else " ".join(typed)
    return _once(question, part, storable(text), verdict, token, at)


def storable(text: str) -> str:
    """The text as any database keeps it: PostgreSQL has no NUL character.

    >>> storable("a" + chr(0) + "b")
    'a\N{REPLACEMENT CHARACTER}b'
    """
    return text.replace("\0", "\N{REPLACEMENT CHARACTER}")


def show(question: Question, token: uuid.UUID, at: datetime) -> Answer:
    """The student asks to see the answer: the open part counts as 0 and the question ends."""
    part = question.open_part()
    return _once(question, part or 0, "", None, token, at)


def judge(question: Question, part: int, typed: str | Sequence[str]) -> Verdict:
    """The verdict on an answer to one part, on the student's own earlier results where it carries them,
    told in the language that the question is asked in."""
    answer = typed if isinstance(typed, str) else list(typed)
    earlier = earlier_results(question, part)
    with words.language(question.language):
        return chain.judge(question.snapshot.parts, part, answer, earlier).verdict


def earlier_results(question: Question, part: int) -> dict[int, str]:
    """What the student last answered to the parts before this one, as far as this one rests on them."""
    return results_before(question, part) if question.snapshot.parts[part].carries else {}


def results_before(question: Question, part: int) -> dict[int, str]:
    """The same from the answers of the question that are at hand."""
    carries = question.snapshot.parts[part].carries
    counted = [each for each in question.so_far if each.score is not None and each.verdict != "shown"]
    return {each.part: each.typed for each in counted if each.part in carries}


def _once(
    question: Question, part: int, typed: str, verdict: Verdict | None, token: uuid.UUID, at: datetime
) -> Answer:
    try:
        return _record(question, part, typed, verdict, token, at)
    except IntegrityError:
        # The token of another question's page; asking for it beforehand would cost every answer a query.
        known = Answer.objects.filter(student=question.run.student, token=token).order_by().first()
        if known is None:
            raise
        return known


@transaction.atomic
def _record(
    question: Question, part: int, typed: str, verdict: Verdict | None, token: uuid.UUID, at: datetime
) -> Answer:
    student = question.run.student
    row = steering.locked(student)
    question.read_again()
    before = question.so_far
    for known in before:
        if known.token == token:
            return known
    settled = {each.part for each in before if each.settles}
    _refuse_closed(question, part, settled, at)
    row.numbered += 1
    answer = Answer(
        student=student, question=question, part=part, number=row.numbered, token=token, typed=typed, at=at
    )
    _fill(answer, verdict, sum(each.part == part and each.score is not None for each in before))
    standing_ruling = standing_for(answer)
    _count(row, answer, standing_ruling)
    GIVE(answer)
    steering.move(row)
    if standing_ruling:
        apply_standing(standing_ruling, answer)
        answer.met_a_decision = True
    if answer.settles and (answer.verdict == "shown" or question.first_open(settled | {part}) is None):
        question.finish(at)
    before.append(answer)
    return answer


def _count(row: Strength, answer: Answer, ruling: StandingRuling | None) -> None:
    """By the score that holds: a teacher's standing decision goes before the grader's."""
    judged = answer.score
    if ruling:
        answer.score = ruling.score
        answer.settles = answer.settles or ruling.score == 1
    steering.count(row, answer, answer.student.time_zone or settings.TIME_ZONE)
    answer.score = judged


def _fill(answer: Answer, verdict: Verdict | None, tries: int) -> None:
    """What the answer row says beside the typed text; `tries` counted before it on the same part."""
    question = answer.question
    answer.hints_seen, answer.is_retry = question.hints_seen, tries > 0
    if verdict is None:
        answer.verdict, answer.score, answer.settles = "shown", 0, True
        return
    answer.take(verdict)
    answer.likeness = likeness(question.snapshot, answer.part, answer.said, answer.verdict)
    used_up = verdict.counts and tries + 1 >= attempts_allowed(question)
    answer.settles = answer.is_right or used_up


def _refuse_closed(question: Question, part: int, settled: Set[int], at: datetime) -> None:
    run = question.run
    if question.first_open(settled) != part or not run.is_open:
        raise ClosedError(_("That question was finished already; nothing was changed."))
    if run.homework_set and not run.homework_set.is_open_for(run.student, at):
        raise ClosedError(_("This set is closed by now; nothing was changed."))
