"""`calibrate`: difficulties from all answers; the past stays judged as it was."""

import json
from pathlib import Path
from random import Random

import pytest
from django.core.management import CommandError, call_command
from django.utils import timezone

from quizzes import runs, steering
from quizzes.demo import school
from quizzes.models import Answer, Calibration, Strength
from quizzes.recompute import rebuilt


def test_too_few_answers_move_nothing(db: None, capsys: pytest.CaptureFixture[str]) -> None:
    call_command("calibrate")
    assert "Nothing moved: 0 answers are too few" in capsys.readouterr().out
    assert not Calibration.objects.exists()


@pytest.fixture
def practised(db: None, monkeypatch: pytest.MonkeyPatch) -> None:
    """Twelve students with two runs each."""
    monkeypatch.setattr(school, "RUNS_EACH", 2)
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


def test_what_was_judged_before_stays_as_it_was(practised: None) -> None:
    before = {row.student_id: bytes(row.state) for row in Strength.objects.all()}
    call_command("calibrate")
    for row in Strength.objects.select_related("student"):
        assert rebuilt(row.student)[0].to_bytes() == before[row.student_id]


def test_answers_after_it_are_judged_under_it_and_can_be_rebuilt(practised: None) -> None:
    call_command("calibrate")
    student = Strength.objects.first().student
    run = runs.start_run(student, timezone.now())
    nature = school.Nature(dict.fromkeys(steering.skill_map().skills, 0.0), 0.0)
    school._do(run, nature, timezone.now(), Random(1), lambda answers: None)
    assert set(Answer.objects.filter(question__run=run).values_list("calibration_number", flat=True)) == {1}
    assert rebuilt(student)[0].to_bytes() == bytes(Strength.objects.get(student=student).state)


def test_a_report_that_cannot_be_written_gets_one_sentence(practised: None, tmp_path: Path) -> None:
    with pytest.raises(CommandError, match="cannot be written"):
        call_command("calibrate", report=tmp_path / "no" / "where.svg")
