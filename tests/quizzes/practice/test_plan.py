"""The plan up to the exam on the progress page: whose exam, which days, and how minutes are counted."""

import re
import uuid
from datetime import timedelta
from html import unescape

import pytest
from django.urls import reverse
from django.utils import timezone

from accounts.models import SchoolClass, User
from problems.generators.setups import SHOWCASE
from quizzes import steering
from quizzes.answering import show
from quizzes.courses import course_of
from quizzes.models import Question
from quizzes.practice.plan import HORIZON, QUESTIONS_A_DAY, USUAL_PACE, Plan, pace_of, plan_of
from quizzes.runs import start_run
from tests.conftest import Cast
from tests.quizzes.conftest import NOW, ask_on

UNSET = "Your class has no exam date set."


def set_exam(school_class: SchoolClass, days: int) -> None:
    school_class.exam_date = (timezone.now() + timedelta(days=days)).date()
    school_class.save()


def plan_now(student: User) -> Plan | None:
    known, at = steering.current(), timezone.now()
    return plan_of(student, at, steering.belief_now(student, at, known), known, course_of(student))


def found(student: User) -> Plan:
    plan = plan_now(student)
    assert plan is not None
    return plan


def page_of(cast: Cast) -> str:
    page = unescape(cast.client("student").get(reverse("progress")).content.decode())
    return page[page.index('id="plan"') :].partition("</section>")[0].replace("\N{NO-BREAK SPACE}", " ")


def took(cast: Cast, *minutes: float) -> None:
    """Finished questions that each took so many minutes."""
    run = start_run(cast.student, NOW, SHOWCASE)
    for position, each in enumerate(minutes, 1):
        question = ask_on(run, position=position)
        Question.objects.filter(pk=question.pk).update(finished_at=NOW + timedelta(minutes=each))


def test_the_page_says_the_exam_the_days_and_the_minutes(cast: Cast) -> None:
    set_exam(cast.school_class, 12)
    page = page_of(cast)
    assert "in 12 days" in page
    assert "Today" in page
    assert f"{round(QUESTIONS_A_DAY * USUAL_PACE)} min" in page
    assert "2 minutes a question, until your own pace is known" in page


def test_where_no_class_has_set_an_exam_the_page_says_so(cast: Cast) -> None:
    assert UNSET in page_of(cast)
    set_exam(cast.school_class, -1)
    assert UNSET in page_of(cast)


def test_the_day_of_the_exam_and_the_day_before(cast: Cast) -> None:
    set_exam(cast.school_class, 0)
    assert "The exam is today." in page_of(cast)
    set_exam(cast.school_class, 1)
    assert "tomorrow" in page_of(cast)
    assert [day.date for day in found(cast.student).days] == [timezone.now().date()]


def test_the_nearest_exam_of_a_present_class_counts(cast: Cast) -> None:
    set_exam(cast.school_class, 30)
    set_exam(cast.outsiders_class, 9)
    assert found(cast.student).days_left == 30
    cast.outsiders_class.add_student(cast.student)
    assert found(cast.student).days_left == 9


def test_today_is_the_students_own(cast: Cast) -> None:
    set_exam(cast.school_class, 10)
    User.objects.filter(pk=cast.student.pk).update(time_zone="Pacific/Kiritimati")
    cast.student.refresh_from_db()
    ahead = found(cast.student).days_left
    User.objects.filter(pk=cast.student.pk).update(time_zone="Pacific/Pago_Pago")
    cast.student.refresh_from_db()
    assert found(cast.student).days_left == ahead + 1


def test_every_step_of_the_plan_is_in_play_and_no_day_is_too_full(cast: Cast) -> None:
    set_exam(cast.school_class, 60)
    SchoolClass.objects.filter(pk=cast.school_class.pk).update(not_taught=["redox.half_reaction"])
    plan = found(cast.student)
    assert len(plan.days) <= HORIZON
    names = {name for day in plan.days for _, steps in day.topics for name, _ in steps}
    assert names == set(course_of(cast.student).skills)
    assert "redox.half_reaction" not in names
    for day in plan.days:
        assert day.questions == sum(count for _, steps in day.topics for _, count in steps) <= QUESTIONS_A_DAY


def test_what_was_practised_today_is_not_due_today(cast: Cast) -> None:
    set_exam(cast.school_class, 30)
    question = ask_on(start_run(cast.student, timezone.now(), SHOWCASE))
    show(question, uuid.uuid4(), timezone.now())
    first = found(cast.student).days[0]
    assert question.skill not in {name for _, steps in first.topics for name, _ in steps}


def test_todays_steps_can_be_practised_from_the_plan(cast: Cast) -> None:
    set_exam(cast.school_class, 8)
    plan, page = found(cast.student), page_of(cast)
    today = [name for _, steps in plan.days[0].topics for name, _ in steps]
    assert re.findall(r'form="practise" name="skill" value="([^"]+)"', page) == today


def test_the_first_week_is_open_and_the_rest_is_folded_away(cast: Cast) -> None:
    set_exam(cast.school_class, 25)
    plan, page = found(cast.student), page_of(cast)
    assert plan.soon
    assert plan.later
    assert [*plan.soon, *plan.later] == list(plan.days)
    assert plan.soon[-1].date < plan.today + timedelta(days=7) <= plan.later[0].date
    week, rest = page.split("<details>")
    assert week.count("<tr>") == len(plan.soon) + 1
    assert rest.count("<tr>") == len(plan.later) + 1


def test_the_pace_is_the_middle_one_of_what_was_measured(cast: Cast) -> None:
    took(cast, 1, 1.4, 1.5, 3, 3)
    assert pace_of(cast.student).minutes == pytest.approx(1.5)
    set_exam(cast.school_class, 12)
    assert f"{QUESTIONS_A_DAY * 3 // 2} min" in page_of(cast)
    assert "at your own pace, 1.5 minutes a question" in page_of(cast)


def test_minutes_are_rounded_up(cast: Cast) -> None:
    took(cast, *[1.4] * 5)
    set_exam(cast.school_class, 12)
    assert found(cast.student).days[0].minutes == 12  # 8 questions of 1.4 min are 11.2 min


def test_a_break_is_no_pace(cast: Cast) -> None:
    took(cast, 2, 2, 2, 2, 2, 300, 500, 600, 700, 800, 900)
    assert pace_of(cast.student).minutes == pytest.approx(2)


@pytest.mark.parametrize(("minutes", "held"), [(0.01, 0.5), (19, 8)])
def test_a_pace_is_held_within_reason(cast: Cast, minutes: float, held: float) -> None:
    took(cast, *[minutes] * 6)
    assert pace_of(cast.student).minutes == held


def test_too_few_questions_are_no_measure(cast: Cast) -> None:
    took(cast, 1, 1, 1, 1)
    assert pace_of(cast.student).minutes == USUAL_PACE
    assert not pace_of(cast.student).is_measured


def test_the_pace_of_others_is_not_mine(cast: Cast) -> None:
    took(cast, 1, 1, 1, 1, 1)
    assert not pace_of(cast.classmate).is_measured
