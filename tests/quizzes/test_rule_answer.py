"""A teacher overrules a verdict: the last ruling wins, and the strength is as if it had always been so."""

import uuid
from datetime import timedelta

import pytest
from django.core.management import call_command
from django.urls import reverse

from quizzes import steering
from quizzes.answering import show, submit
from quizzes.models import Answer, HomeworkSet, Question, Ruling, Run, Strength, judged
from quizzes.recompute import recompute
from quizzes.rulings import NotToBeRuledError, rule
from quizzes.runs import start_homework
from tests.conftest import Cast
from tests.factories import HomeworkSetFactory, UserFactory
from tests.quizzes.conftest import NOW, ask_on, key_of

WRONG = "2 Cl^- -> Cl2 + 2 e^-"
UNREADABLE = "->->"
CATHODE_TOO, ANODE = 2, 4
"""Seeds: one that asks the same as seed 1, and one that asks of the other electrode."""


@pytest.fixture
def homework(cast: Cast) -> HomeworkSet:
    return HomeworkSetFactory(
        author=cast.teacher,
        classes=[cast.school_class],
        opens_at=NOW - timedelta(days=1),
        due_at=NOW + timedelta(days=7),
    )


@pytest.fixture
def work(cast: Cast, homework: HomeworkSet) -> Run:
    return start_homework(cast.student, homework, NOW)


def type_in(question: Question, *texts: str) -> list[Answer]:
    return [
        submit(question, 0, text, uuid.uuid4(), NOW + timedelta(minutes=place))
        for place, text in enumerate(texts)
    ]


def asked(run: Run, *texts: str, seed: int = 1, position: int = 1) -> Answer:
    """The first answer to a question that was answered with these and is finished."""
    question = ask_on(run, seed=seed, position=position)
    first = type_in(question, *texts)[0]
    question.finish(NOW)
    return Answer.objects.select_related("question__run", "student").get(pk=first.pk)


def state(student: object) -> tuple[bytes, int, float | None]:
    row = Strength.objects.get(student=student)
    return bytes(row.state), row.answers, row.redox_mean


def post(cast: Cast, homework: HomeworkSet, answer: Answer, person: str = "teacher", **fields: str) -> str:
    url = reverse("give_ruling", args=[homework.public_id, answer.student.public_id, answer.number])
    return cast.client(person).post(url, fields, follow=True).content.decode()


def test_a_wrong_answer_ruled_right_counts_bit_for_bit_as_a_right_one(
    cast: Cast, work: Run, homework: HomeworkSet
) -> None:
    """Against another student who typed the right answer at the same moments: no line of ours decides."""
    twin = UserFactory(username="twin")
    cast.school_class.add_student(twin)
    for run, first in ((work, WRONG), (start_homework(twin, homework, NOW), None)):
        question = ask_on(run)
        type_in(question, first or key_of(question))
        question.finish(NOW)
        type_in(ask_on(run, seed=2, position=2), WRONG)
    answer = Answer.objects.get(student=cast.student, number=1)
    assert state(cast.student) != state(twin)
    page = post(cast, homework, answer, decision="right", note="Equal under our convention.")
    assert "Your decision counts" in page
    assert "Equal under our convention." in page
    assert state(cast.student) == state(twin)


def test_withdrawing_brings_the_very_same_strength_back(cast: Cast, work: Run) -> None:
    answer = asked(work, WRONG, WRONG)
    before = state(cast.student)
    rule(answer, "right", "", cast.teacher, NOW)
    assert state(cast.student) != before
    rule(answer, "withdrawn", "", cast.teacher, NOW)
    assert state(cast.student) == before
    assert Ruling.objects.count() == 2


def test_the_last_ruling_wins(cast: Cast, work: Run) -> None:
    answer = asked(work, WRONG)
    for decision, worth in (("right", 1), ("partly", 0.5), ("wrong", 0), ("right", 1), ("withdrawn", 0)):
        rule(answer, decision, "", cast.co_teacher, NOW)
        assert judged(Answer.objects.all()).get(pk=answer.pk).final == worth
    answer.refresh_from_db()
    assert (answer.verdict, answer.score) == ("wrong", 0)


def test_recompute_after_a_ruling_changes_nothing(
    cast: Cast, work: Run, capsys: pytest.CaptureFixture[str]
) -> None:
    rule(asked(work, WRONG), "partly", "", cast.teacher, NOW)
    type_in(ask_on(work, seed=3, position=2), WRONG)
    call_command("recompute")
    assert "0 changed" in capsys.readouterr().out


def test_an_unreadable_answer_can_be_made_to_count_and_the_next_is_then_a_second_try(
    cast: Cast, work: Run
) -> None:
    answer = asked(work, UNREADABLE, WRONG)
    assert state(cast.student)[1] == 1
    rule(answer, "right", "", cast.teacher, NOW)
    belief = steering.belief_of(Strength.objects.get(student=cast.student), steering.current().parameters)
    assert state(cast.student)[1] == 2
    assert belief.answers.sum() == 1  # first tries; the second answer is no longer one


def test_the_only_answer_that_counts_can_be_taken_back(cast: Cast, work: Run) -> None:
    answer = asked(work, UNREADABLE)
    rule(answer, "wrong", "", cast.teacher, NOW)
    assert state(cast.student)[1] == 1
    rule(answer, "withdrawn", "", cast.teacher, NOW)
    assert state(cast.student) == (b"", 0, None)
    assert recompute(cast.student) is False


def test_an_open_question_waits(cast: Cast, work: Run, homework: HomeworkSet) -> None:
    question = ask_on(work)
    [answer] = type_in(question, WRONG)
    with pytest.raises(NotToBeRuledError):
        rule(answer, "right", "", cast.teacher, NOW)
    assert "still open" in post(cast, homework, answer, decision="right")
    assert not Ruling.objects.exists()
    work.end(NOW)
    answer = Answer.objects.select_related("question__run").get(pk=answer.pk)
    assert rule(answer, "right", "", cast.teacher, NOW)


def test_an_answer_that_was_asked_to_be_shown_is_no_answer(cast: Cast, work: Run) -> None:
    question = ask_on(work)
    answer = show(question, uuid.uuid4(), NOW)
    with pytest.raises(NotToBeRuledError):
        rule(answer, "right", "", cast.teacher, NOW)


@pytest.mark.parametrize(("fields"), [{}, {"decision": "splendid"}, {"decision": "right", "note": "x" * 301}])
def test_nonsense_is_no_ruling(cast: Cast, work: Run, homework: HomeworkSet, fields: dict[str, str]) -> None:
    assert "Choose what the answer counts as" in post(cast, homework, asked(work, WRONG), **fields)
    assert not Ruling.objects.exists()


@pytest.mark.parametrize("person", ["student", "classmate", "outsider", "staff"])
def test_nobody_else_decides(cast: Cast, work: Run, homework: HomeworkSet, person: str) -> None:
    post(cast, homework, asked(work, WRONG), person, decision="right")
    assert not Ruling.objects.exists()


def test_practice_is_the_students_own(cast: Cast, run: Run, homework: HomeworkSet) -> None:
    """Only answers to sets can be overruled: an answer of a run of practice is not found there."""
    post(cast, homework, asked(run, WRONG), decision="right")
    assert not Ruling.objects.exists()


def test_the_student_sees_the_decision_and_its_note(cast: Cast, work: Run) -> None:
    answer = asked(work, WRONG, UNREADABLE)
    url = reverse("past_question", args=[answer.question.public_id])
    assert "decided" not in cast.client("student").get(url).content.decode()
    rule(answer, "partly", "The charges are there.", cast.teacher, NOW)
    page = cast.client("student").get(url).content.decode()
    assert "Your teacher Ms Vera decided on “2 Cl^- -&gt; Cl2 + 2 e^-”:" in page
    assert "<strong>partly right</strong>. The charges are there." in page
    rule(answer, "withdrawn", "", cast.teacher, NOW)
    assert "decided" not in cast.client("student").get(url).content.decode()


class TestAlike:
    def several(self, cast: Cast, homework: HomeworkSet, *texts: str, seed: int = 1) -> list[Answer]:
        found = []
        for text in texts:
            student = UserFactory()
            cast.school_class.add_student(student)
            found.append(asked(start_homework(student, homework, NOW), text, seed=seed))
        return found

    def test_it_says_how_many_and_decides_them_all(
        self, cast: Cast, work: Run, homework: HomeworkSet
    ) -> None:
        answer = asked(work, WRONG)
        like = self.several(cast, homework, WRONG, "2Cl- = Cl2 + 2e-")
        other = self.several(cast, homework, "2 Br^- -> Br2 + 2 e^-")
        url = reverse("set_answers", args=[homework.public_id, cast.student.public_id])
        assert (
            "and 2 other answers that were read the same" in cast.client("teacher").get(url).content.decode()
        )
        page = post(cast, homework, answer, decision="partly", reach="alike")
        assert "for this answer and 2 more" in page
        assert {ruling.answer_id for ruling in Ruling.objects.all()} == {each.pk for each in [answer, *like]}
        assert other[0].rulings.count() == 0

    def test_not_unless_it_is_ticked(self, cast: Cast, work: Run, homework: HomeworkSet) -> None:
        answer = asked(work, WRONG)
        self.several(cast, homework, WRONG)
        post(cast, homework, answer, decision="right")
        assert Ruling.objects.count() == 1

    @pytest.mark.parametrize(("seed", "rulings"), [(CATHODE_TOO, 2), (ANODE, 1)])
    def test_the_question_as_it_was_read_counts_and_not_its_seed(
        self, cast: Cast, work: Run, homework: HomeworkSet, seed: int, rulings: int
    ) -> None:
        answer = asked(work, WRONG)
        self.several(cast, homework, WRONG, seed=seed)
        post(cast, homework, answer, decision="right", reach="alike")
        assert Ruling.objects.count() == rulings

    def test_students_of_other_teachers_are_left_alone(
        self, cast: Cast, work: Run, homework: HomeworkSet
    ) -> None:
        homework.classes.add(cast.outsiders_class)
        theirs = asked(start_homework(cast.outsiders_student, homework, NOW), WRONG)
        post(cast, homework, asked(work, WRONG), decision="right", reach="alike")
        assert theirs.rulings.count() == 0


def test_the_students_summary_follows_the_ruling(cast: Cast, homework: HomeworkSet) -> None:
    run = start_homework(cast.student, homework, NOW)
    question = ask_on(run)
    answer = submit(question, 0, WRONG, uuid.uuid4(), NOW)
    run.end(NOW)
    page = reverse("run", args=[run.public_id])
    assert "✗ not right" in cast.client("student").get(page).content.decode()
    rule(answer, "right", "as we write it", cast.teacher, NOW)
    assert "✓ right" in cast.client("student").get(page).content.decode()
