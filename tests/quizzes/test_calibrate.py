"""`calibrate`: difficulties from all answers; the past stays judged as it was."""

import json
from datetime import timedelta
from pathlib import Path
from random import Random

import pytest
from django.core.management import CommandError, call_command
from django.utils import timezone

from accounts.models import User
from quizzes import calibration, daily, runs, steering
from quizzes.demo import school
from quizzes.models import Answer, Calibration, Run, Strength
from quizzes.recompute import judged_anew, keep_judged, recompute
from quizzes.upkeep import retention


def test_too_few_answers_move_nothing(db: None, capsys: pytest.CaptureFixture[str]) -> None:
    call_command("calibrate")
    assert "Nothing moved: 0 answers are too few" in capsys.readouterr().out
    assert not Calibration.objects.exists()


@pytest.fixture
def practised(db: None, monkeypatch: pytest.MonkeyPatch) -> None:
    """Twelve students with a run each, of eighteen questions."""
    monkeypatch.setattr(school, "RUNS_EACH", 1)
    monkeypatch.setattr(runs, "RUN_LENGTH", 18)
    monkeypatch.setattr(school, "CLASSES", (("A", "first_year", 8), ("B", "second_year", 4)))
    school.fill(timezone.now(), 3, lambda answers: None)


def test_a_calibration_is_kept_and_says_what_moved(
    practised: None, capsys: pytest.CaptureFixture[str], tmp_path: Path
) -> None:
    call_command("calibrate", report=tmp_path / "report.svg", json=True)
    told = json.loads(capsys.readouterr().out)
    kept = Calibration.objects.get()
    assert (kept.number, kept.answers) == (1, Answer.objects.counted().count())
    assert told["moves"]
    assert told["log_loss"][1] < told["log_loss"][0]
    assert (tmp_path / "report.svg").read_text().startswith("<svg")


def states() -> dict[int, bytes]:
    return {row.student_id: bytes(row.state) for row in Strength.objects.all()}


def test_all_answers_are_judged_anew_after_the_refit_and_recompute_agrees(practised: None) -> None:
    before = states()
    calibration.calibrate(timezone.now())
    assert not any(recompute(row.student) for row in Strength.objects.select_related("student"))
    assert states() == before
    assert calibration.judge_all_anew() == len(before)
    after = states()
    assert all(after[student] != before[student] for student in before)
    assert not any(recompute(row.student) for row in Strength.objects.select_related("student"))
    assert states() == after
    assert set(Answer.objects.values_list("calibration_number", flat=True)) == {0}


def practise(student: User) -> Run:
    run = runs.start_run(student, timezone.now())
    nature = school.Nature(dict.fromkeys(steering.skill_map().skills, 0.0), 0.0)
    school._do(run, nature, timezone.now(), Random(1), lambda answers: None)
    return run


def test_answers_after_it_are_judged_under_it_and_can_be_rebuilt(practised: None) -> None:
    call_command("calibrate")
    late = User.objects.create_user("late", "graphite-rods", display_name="Late")
    for student in (Strength.objects.order_by("pk")[0].student, late):
        judged = Answer.objects.filter(question__run=practise(student))
        assert set(judged.values_list("calibration_number", flat=True)) == {1}
        assert not recompute(student)


def test_what_comes_in_while_all_is_judged_anew_is_counted(practised: None) -> None:
    found = calibration.calibrate(timezone.now())
    student, other = (row.student for row in Strength.objects.order_by("pk")[:2])
    judged, judged_other = judged_anew(student, 1), judged_anew(other, 1)
    practise(student)
    keep_judged(judged)
    row = Strength.objects.get(student=student)
    assert row.answers == Answer.objects.filter(student=student).counted().count()
    assert (row.judged_upto, row.judged_under) == (row.numbered, 1)
    assert not recompute(student)
    retention.purge_answers(other, timezone.now() + timedelta(days=1))
    keep_judged(judged_other)
    assert not recompute(other)
    calibration._keep(found, 1, timezone.now())
    assert Calibration.objects.count() == 1


def test_it_is_due_once_a_day_and_when_enough_is_new(practised: None) -> None:
    now = timezone.now()
    assert calibration.is_due(now)
    assert daily.look()
    assert not calibration.is_due(now + timedelta(days=2))
    Calibration.objects.update(made_at=now - timedelta(days=60))
    assert Answer.objects.since(now - timedelta(days=60)).count() >= calibration.NEW_ANSWERS
    assert calibration.is_due(now)
    call_command("calibrate", if_due=True)
    assert Calibration.objects.count() == 2
    call_command("calibrate", if_due=True)
    assert not daily.look()
    assert Calibration.objects.count() == 2


def test_a_report_that_cannot_be_written_gets_one_sentence(practised: None, tmp_path: Path) -> None:
    with pytest.raises(CommandError, match="cannot be written"):
        call_command("calibrate", report=tmp_path / "no" / "where.svg")
