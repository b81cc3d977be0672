"""A student's data: given out whole, erased whole."""

import json
from pathlib import Path
from random import Random

import pytest
from django.core.management import CommandError, call_command
from django.utils import timezone

from accounts.models import Look, User
from quizzes import runs
from quizzes.calibration import calibrate
from quizzes.demo import school
from quizzes.models import Answer, AnswerCount, Extension, Question, Run, SentIn, Strength, StrengthDay
from quizzes.rulings import rule
from quizzes.steering import skill_map
from quizzes.upkeep.own_data import data_of, erase
from tests.conftest import Cast
from tests.factories import HomeworkSetFactory

NOW = timezone.now()


@pytest.fixture
def practised(cast: Cast) -> Cast:
    nature = school.Nature(dict.fromkeys(skill_map().skills, 0.3), 0.0)
    for place, student in enumerate([cast.student, cast.classmate]):
        school._do(runs.start_run(student, NOW), nature, NOW, Random(place), lambda answers: None)
    answer = Answer.objects.filter(student=cast.student)[0]
    SentIn.objects.create(
        student=cast.student, question=answer.question, answer=answer, note="Why is this wrong?", at=NOW
    )
    Look.objects.record(cast.teacher, "set_answers", NOW, student=cast.student)
    return cast


def test_all_of_it_is_given_out_and_nothing_of_others(practised: Cast) -> None:
    given = json.loads(json.dumps(data_of(practised.student, NOW)))
    mine = Answer.objects.filter(student=practised.student)
    assert [each["number"] for each in given["answers"]] == list(range(1, mine.count() + 1))
    assert [each["typed"] for each in given["answers"]] == list(mine.values_list("typed", flat=True))
    assert given["person"]["sign_in_name"] == "ines"
    assert "password" not in json.dumps(given)
    assert "bruno" not in json.dumps(given).casefold()
    assert given["sent_in"][0]["note"] == "Why is this wrong?"
    assert [(each["by"], each["page"]) for each in given["looks"]] == [("Ms Vera", "set_answers")]
    assert given["classes"] == [{**given["classes"][0], "name": "3 B", "as": "student"}]


def test_decisions_and_more_time_are_given_out_too(practised: Cast) -> None:
    answer = Answer.objects.filter(student=practised.student, score=0).exclude(verdict="shown")[0]
    rule(answer, "right", "A fair reading.", practised.teacher, NOW)
    homework = HomeworkSetFactory(author=practised.teacher, classes=[practised.school_class])
    Extension.objects.create(
        homework_set=homework, student=practised.student, due_at=NOW, by=practised.teacher, at=NOW
    )
    given = data_of(practised.student, NOW)
    assert [each["note"] for each in given["rulings"]] == ["A fair reading."]
    assert [each["homework"] for each in given["more_time"]] == [homework.title]
    other = data_of(practised.classmate, NOW)
    assert (other["rulings"], other["more_time"], other["looks"]) == ([], [], [])


def test_erasing_leaves_counts_and_the_others(practised: Cast) -> None:
    mine = Answer.objects.filter(student=practised.student).count()
    others = Answer.objects.filter(student=practised.classmate).count()
    assert erase(practised.student) == mine
    assert Answer.objects.count() == others
    assert not User.objects.filter(username="ines").exists()
    assert sum(AnswerCount.objects.values_list("number", flat=True)) == mine
    for model in (Run, Strength, StrengthDay, SentIn, Look):
        field = "student"
        assert not model.objects.exclude(**{field: practised.classmate}).exists(), model
    assert not Question.objects.exclude(run__student=practised.classmate).exists()
    assert calibrate(NOW).students <= 1


def test_the_commands_do_the_same(practised: Cast, tmp_path: Path) -> None:
    path = tmp_path / "ines.json"
    call_command("student_data", str(practised.student.public_id), file=path)
    assert json.loads(path.read_text())["person"]["shown_name"] == "Ines"
    call_command("erase_student", str(practised.student.public_id), yes=True)
    assert not User.objects.filter(username="ines").exists()


def test_erasing_wants_to_be_sure(practised: Cast) -> None:
    with pytest.raises(CommandError, match="--yes"):
        call_command("erase_student", str(practised.student.public_id))
    assert User.objects.filter(username="ines").exists()


@pytest.mark.parametrize("command", ["student_data", "erase_student"])
@pytest.mark.parametrize("wrong", ["nobody", "6a8d1c1e-0000-4000-8000-000000000000"])
def test_an_unknown_student_gets_one_sentence(db: None, command: str, wrong: str) -> None:
    with pytest.raises(CommandError, match="There is no student"):
        call_command(command, wrong)


def test_a_teacher_is_not_erased_as_a_student(practised: Cast) -> None:
    with pytest.raises(CommandError, match="There is no student"):
        call_command("erase_student", str(practised.teacher.public_id), yes=True)


def test_a_file_that_cannot_be_written_is_named(practised: Cast, tmp_path: Path) -> None:
    path = tmp_path / "nowhere" / "ines.json"
    with pytest.raises(CommandError, match="cannot be written"):
        call_command("student_data", str(practised.student.public_id), file=path)
