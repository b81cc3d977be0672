"""What is old goes, strengths stay bit for bit, and `recompute` still agrees."""

from datetime import datetime, timedelta
from random import Random

import pytest
from django.core.management import call_command
from django.utils import timezone

from accounts.models import Change, Invitation, Look, SignInThrottle, User
from quizzes import runs
from quizzes.calibration import calibrate, judge_all_anew
from quizzes.demo import school
from quizzes.models import Answer, AnswerCount, Question, Run, Strength, StrengthDay
from quizzes.recompute import recompute
from quizzes.rulings import rule
from quizzes.steering import skill_map
from quizzes.upkeep import retention
from tests.conftest import Cast

NOW = timezone.now()
NATURE = school.Nature(dict.fromkeys(skill_map().skills, 0.2), 0.0)


def practise(student: User, days_ago: int, seed: int) -> None:
    at = NOW - timedelta(days=days_ago)
    school._do(runs.start_run(student, at), NATURE, at, Random(seed), lambda answers: None)


@pytest.fixture
def years(cast: Cast) -> Cast:
    """A student with two old runs and two new ones."""
    for place, days_ago in enumerate([500, 450, 30, 3]):
        practise(cast.student, days_ago, place)
    return cast


def standing(student: User) -> tuple[bytes, int, float]:
    row = Strength.objects.get(student=student)
    return bytes(row.state), row.answers, row.redox_mean


def test_old_answers_go_and_the_strength_stays(years: Cast) -> None:
    before, all_answers = standing(years.student), Answer.objects.count()
    old = Answer.objects.filter(at__lt=NOW - timedelta(days=400)).count()
    assert 0 < old < all_answers
    assert retention.purge(NOW).answers == old
    assert Answer.objects.count() == all_answers - old
    assert standing(years.student) == before
    assert not recompute(years.student)
    assert standing(years.student) == before


def test_what_is_left_of_them_names_nobody(years: Cast) -> None:
    retention.purge(NOW)
    counted = sum(AnswerCount.objects.values_list("number", flat=True))
    assert counted == Strength.objects.get(student=years.student).purged_upto
    assert not Run.objects.filter(started_at__lt=NOW - timedelta(days=400)).exists()
    assert not Question.objects.filter(made_at__lt=NOW - timedelta(days=400)).exists()
    assert not StrengthDay.objects.filter(date__lt=(NOW - timedelta(days=400)).date()).exists()


def test_purging_again_changes_nothing_and_later_more_goes(years: Cast) -> None:
    retention.purge(NOW)
    before = standing(years.student)
    assert retention.purge(NOW).answers == 0
    later = NOW + timedelta(days=399)
    assert retention.purge(later).answers > 0
    assert not recompute(years.student)
    assert standing(years.student) == before


def test_when_all_answers_are_gone_the_strength_is_still_there(years: Cast) -> None:
    before = standing(years.student)
    retention.purge(NOW + timedelta(days=1000))
    assert not Answer.objects.exists()
    assert not recompute(years.student)
    assert standing(years.student) == before
    practise(years.student, 0, 9)
    after = standing(years.student)
    assert after[1] > before[1]
    assert not recompute(years.student)
    assert standing(years.student) == after


def test_a_ruling_and_a_calibration_after_it_can_be_rebuilt(years: Cast) -> None:
    retention.purge(NOW)
    answer = Answer.objects.filter(score=0).exclude(verdict="shown").order_by("number")[0]
    rule(answer, "right", "", years.teacher, NOW)
    calibrate(NOW)
    judge_all_anew()
    assert not recompute(years.student)


def test_a_question_is_never_cut_in_two(cast: Cast) -> None:
    practise(cast.student, 10, 3)
    retried = Answer.objects.filter(is_retry=True).order_by("number")[0]
    cutoff = retried.at  # the first try is older than this, the retry is not
    retention.purge_answers(cast.student, cutoff)
    kept = Answer.objects.filter(question=retried.question)
    assert kept.filter(number__lt=retried.number).exists()
    assert not recompute(cast.student)


@pytest.mark.parametrize(("age", "left"), [(timedelta(days=1), 1), (timedelta(days=500), 0)])
def test_looks_go_by_age(cast: Cast, age: timedelta, left: int) -> None:
    Look.objects.record(cast.teacher, "marks", NOW - age, school_class=cast.school_class)
    retention.purge(NOW)
    assert Look.objects.count() == left


def test_traces_of_signing_in_go_sooner(cast: Cast) -> None:
    old = NOW - timedelta(days=40)
    Invitation.objects.issue(old, timedelta(days=1))
    Invitation.objects.issue(NOW, timedelta(days=1))
    SignInThrottle.objects.claim("ines", "192.0.2.4", NOW - timedelta(hours=30))
    Change.objects.record(cast.teacher, "nothing", old, {}, {})
    retention.purge(NOW)
    assert (Invitation.objects.count(), SignInThrottle.objects.count(), Change.objects.count()) == (1, 0, 0)


def test_the_command_says_what_went(years: Cast, capsys: pytest.CaptureFixture[str]) -> None:
    call_command("purge")
    assert "answers" in capsys.readouterr().out
    assert earliest() > NOW - timedelta(days=400)


def earliest() -> datetime:
    return Answer.objects.order_by("at")[0].at
