"""The shape of a run: its topics are laid out when it begins, from what is seen to what is weighed."""

import uuid
from datetime import timedelta

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext

from problems.generators.setups import SHOWCASE
from problems.registry import SKILLS
from quizzes import answering, runs, steering
from quizzes.models import HomeworkSet, Question, Run
from quizzes.practice.reasons import reason_sentence
from quizzes.steering import CHAIN
from tests.conftest import Cast
from tests.factories import HomeworkSetFactory
from tests.quizzes.conftest import NOW

pytestmark = pytest.mark.django_db


def walked(run: Run) -> list[Question]:
    """The questions of a run, each given up at once."""
    found = list[Question]()
    while (question := runs.next_question(run, NOW)) is not None:
        found.append(question)
        answering.show(question, uuid.uuid4(), NOW)
    return found


def test_the_topics_follow_the_chain_and_the_questions_follow_the_plan(cast: Cast) -> None:
    run = runs.start_run(cast.student, NOW, SHOWCASE)
    assert len(run.plan) == run.length
    stages = [CHAIN.index(topic) for topic in run.plan]
    assert stages == sorted(stages)
    assert [question.topic for question in walked(run)] == run.plan


def test_a_weak_topic_gets_more_of_the_run_than_a_strong_one(cast: Cast) -> None:
    known = steering.current()
    belief = steering.belief_now(cast.student, NOW, known)
    row = steering.locked(cast.student)
    weak = [place for place, topic in enumerate(belief.topics) if topic == "balancing"]
    belief.mean[:] += 2.0
    belief.mean[weak] -= 5.0
    steering.keep(row, belief, known)
    row.save()
    plans = [runs.start_run(cast.student, NOW, SHOWCASE).plan for _ in range(4)]
    asked = [topic for plan in plans for topic in plan]
    assert asked.count("balancing") == max(asked.count(topic) for topic in CHAIN)


def test_what_the_student_answered_meanwhile_changes_the_step_not_the_topic(cast: Cast) -> None:
    run = runs.start_run(cast.student, NOW, SHOWCASE)
    kept = list(run.plan)
    walked(run)
    assert Run.objects.get(pk=run.pk).plan == kept
    assert runs.start_run(cast.student, NOW + timedelta(hours=1), SHOWCASE).plan != kept


def test_the_reason_says_that_the_run_was_laid_out(cast: Cast) -> None:
    question = runs.next_question(runs.start_run(cast.student, NOW, SHOWCASE), NOW)
    assert question is not None
    assert question.reason["code"] == "planned"
    assert "from what is seen to what is weighed" in reason_sentence(question.reason)
    low, high = (round(100 * end) for end in question.reason["chance"][1:])
    assert f"{low}–{high}" in reason_sentence(question.reason)


def test_a_run_begun_before_there_were_plans_goes_on(cast: Cast) -> None:
    run = runs.start_run(cast.student, NOW, SHOWCASE)
    Run.objects.filter(pk=run.pk).update(plan=[])
    question = runs.next_question(Run.objects.get(pk=run.pk), NOW)
    assert question is not None
    assert question.reason["code"] in ("weakest", "foundation")


def test_a_topic_that_cannot_be_asked_any_more_gives_way_to_another(cast: Cast) -> None:
    run = runs.start_run(cast.student, NOW, SHOWCASE)
    left_out = [name for name, skill in SKILLS.items() if skill.topic == run.plan[0]]
    cast.school_class.not_taught = left_out
    cast.school_class.save()
    question = runs.next_question(run, NOW)
    assert question is not None
    assert question.skill not in left_out


@pytest.mark.parametrize("mode", HomeworkSet.Mode.values)
def test_only_a_steered_set_is_laid_out(cast: Cast, mode: str) -> None:
    days = {"opens_at": NOW - timedelta(days=1), "due_at": NOW + timedelta(days=7)}
    homework = HomeworkSetFactory(
        author=cast.teacher, classes=[cast.school_class], number=4, mode=mode, **days
    )
    trial = runs.trial_run(cast.student, homework, NOW)
    begun = runs.start_homework(cast.student, homework, NOW)
    assert begun.plan == trial.plan
    assert bool(begun.plan) == (mode == HomeworkSet.Mode.STEERED)
    assert set(begun.plan) <= {SKILLS[skill].topic for skill in homework.skills}


def test_beginning_takes_the_same_queries_however_long_the_student_has_practised(cast: Cast) -> None:
    counts = list[int]()
    for day in range(3):
        with CaptureQueriesContext(connection) as queries:
            run = runs.start_run(cast.student, NOW + timedelta(days=day), SHOWCASE)
        counts.append(len(queries))
        walked(run)
    assert counts[1] == counts[2] <= 11
