"""`recompute`: strengths rebuilt from the answers, and a row that was damaged put right."""

import pytest
from django.core.management import CommandError, call_command
from django.urls import reverse

from quizzes.models import Run, Strength
from tests.conftest import Cast
from tests.quizzes.conftest import ask_on, fields, key_of


@pytest.fixture
def answered(cast: Cast, run: Run) -> Strength:
    client = cast.client("student")
    for position in range(1, 5):
        question = ask_on(run, seed=position, position=position)
        url = reverse("answer", args=[question.public_id])
        client.post(url, fields("2 Cl^- -> Cl2 + 2 e^-"))
        client.post(url, fields(key_of(question)))
    return Strength.objects.get(student=cast.student)


def test_nothing_changes_where_nothing_is_wrong(
    answered: Strength, capsys: pytest.CaptureFixture[str]
) -> None:
    call_command("recompute")
    assert "1 rebuilt, 0 changed." in capsys.readouterr().out
    again = Strength.objects.get(pk=answered.pk)
    assert (bytes(again.state), again.redox_mean) == (bytes(answered.state), answered.redox_mean)


def test_a_damaged_row_is_put_right(
    cast: Cast, answered: Strength, capsys: pytest.CaptureFixture[str]
) -> None:
    Strength.objects.filter(pk=answered.pk).update(state=b"", answers=0, redox_mean=0.99)
    call_command("recompute", student=str(cast.student.public_id))
    assert str(cast.student.public_id) in capsys.readouterr().out
    again = Strength.objects.get(pk=answered.pk)
    assert bytes(again.state) == bytes(answered.state)
    assert (again.answers, again.redox_mean) == (8, answered.redox_mean)


@pytest.mark.parametrize("wrong", ["nobody", "6a8d1c1e-0000-4000-8000-000000000000"])
def test_an_unknown_student_gets_one_sentence(db: None, wrong: str) -> None:
    with pytest.raises(CommandError, match="There is no student"):
        call_command("recompute", student=wrong)
