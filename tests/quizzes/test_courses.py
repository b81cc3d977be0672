"""What is in play: runs, plans and reports leave out what no present class of a student has taught."""

import uuid
from datetime import date, timedelta

import pytest
from django.urls import reverse
from django.utils import timezone

from accounts.models import SchoolClass
from problems.generators.setups import OFFERED
from problems.registry import SKILLS
from quizzes.answering import show
from quizzes.courses import course_of, course_of_class, levels_upto
from quizzes.models import HomeworkSet, Question
from quizzes.runs import NothingToAskError, next_question, start_homework, start_run
from quizzes.teaching.class_table import class_table
from quizzes.teaching.weak_skills import weak_skills
from quizzes.topics import topic_title
from tests.conftest import Cast
from tests.factories import HomeworkSetFactory
from tests.quizzes.conftest import NOW

REDOX = [name for name in SKILLS if name.startswith("redox.")]
STOICHIOMETRY = [name for name in SKILLS if name.startswith("stoichiometry.")]
EASY = "redox.half_reaction"


def leave_out(school_class: SchoolClass, *names: str) -> None:
    school_class.not_taught = list(names)
    school_class.save()


def only(school_class: SchoolClass, *names: str) -> None:
    leave_out(school_class, *(name for name in SKILLS if name not in names))


def asked(cast: Cast, runs: int = 3) -> list[Question]:
    """Every question of a few runs, each shown and passed."""
    found = []
    for _ in range(runs):
        run = start_run(cast.student, NOW)
        while (question := next_question(run, NOW)) is not None:
            question.finish(NOW)
            found.append(question)
    return found


def page(cast: Cast, name: str, person: str = "student") -> str:
    return cast.client(person).get(reverse(name)).content.decode()


def test_practice_asks_only_what_is_taught(cast: Cast) -> None:
    leave_out(cast.school_class, *STOICHIOMETRY, *REDOX)
    topics = {question.topic for question in asked(cast)}
    assert topics
    assert topics <= {"acid_base", "balancing", "reaction_types"}


def test_one_step_alone_is_still_asked_on_a_cell_that_has_it(cast: Cast) -> None:
    only(cast.school_class, "stoichiometry.deposit")
    run = start_run(cast.student, NOW)
    question = next_question(run, NOW)
    assert question is not None
    assert question.skill == "stoichiometry.deposit"


def test_what_either_of_two_classes_has_taught_is_in_play(cast: Cast) -> None:
    leave_out(cast.school_class, *REDOX, *STOICHIOMETRY)
    leave_out(cast.outsiders_class, *REDOX)
    cast.outsiders_class.add_student(cast.student)
    assert course_of(cast.student).not_taught == {*REDOX}
    assert course_of(cast.classmate).not_taught == {*REDOX, *STOICHIOMETRY}


def test_an_archived_class_and_one_that_was_left_say_nothing(cast: Cast) -> None:
    leave_out(cast.school_class, *REDOX)
    cast.school_class.archive(NOW)
    assert course_of(cast.student).not_taught == frozenset()
    cast.school_class.restore()
    cast.school_class.remove_students([cast.student])
    assert course_of(cast.student).not_taught == frozenset()


def test_the_class_a_teacher_teaches_says_nothing_of_classes_attended(cast: Cast) -> None:
    leave_out(cast.outsiders_class, *REDOX)
    cast.outsiders_class.add_teacher(cast.student)
    assert course_of(cast.student).not_taught == frozenset()


def test_levels_and_exams_come_from_all_classes(cast: Cast) -> None:
    today = date(2027, 3, 1)
    for school_class, day in ((cast.school_class, "2027-06-01"), (cast.outsiders_class, "2027-04-01")):
        school_class.exam_date = date.fromisoformat(day)
        school_class.save()
    cast.outsiders_class.level = "second_year"
    cast.outsiders_class.save()
    cast.outsiders_class.add_student(cast.student)
    course = course_of(cast.student)
    assert (course.level, course.next_exam(today)) == ("second_year", date(2027, 4, 1))
    assert course.next_exam(date(2027, 4, 2)) == date(2027, 6, 1)
    assert course.next_exam(date(2027, 6, 2)) is None


def test_it_takes_one_query(cast: Cast, django_assert_num_queries) -> None:
    cast.outsiders_class.add_student(cast.student)
    with django_assert_num_queries(1):
        assert course_of(cast.student).skills


def test_a_homework_set_asks_what_its_teacher_chose(cast: Cast) -> None:
    homework = HomeworkSetFactory(
        skills=[EASY], mode="steered", author=cast.teacher, classes=[cast.school_class]
    )
    leave_out(cast.school_class, *REDOX)
    question = next_question(start_homework(cast.student, homework, timezone.now()), timezone.now())
    assert question is not None
    assert question.skill == EASY
    show(question, uuid.uuid4(), timezone.now())
    assert cast.client("student").get(reverse("run", args=[question.run.public_id])).status_code == 200


def test_topics_without_a_step_in_play_are_not_reported(cast: Cast) -> None:
    leave_out(cast.school_class, *STOICHIOMETRY)
    title = topic_title("stoichiometry")
    for name in ("home", "progress"):
        assert title not in page(cast, name)
        assert title in page(cast, name, "outsiders_student")


def test_the_class_page_reports_only_what_is_in_play(cast: Cast) -> None:
    leave_out(cast.school_class, *STOICHIOMETRY, EASY)
    table = class_table(cast.school_class, NOW)
    assert topic_title("stoichiometry") not in [column.title for column in table.columns]
    assert len(table.columns) == len(table.topics) == 4
    assert all(len(row.cells) == 4 for row in table.rows)
    lines = {line.found.skill for line in weak_skills(cast.school_class, NOW).lines}
    assert lines == {*course_of_class(cast.school_class).skills}
    assert EASY not in lines


def test_a_step_not_in_play_cannot_be_practised_by_name_either(cast: Cast) -> None:
    client = cast.client("student")
    assert client.post(reverse("practise_step"), {"skill": EASY}).status_code == 302
    leave_out(cast.school_class, EASY)
    assert client.post(reverse("practise_step"), {"skill": EASY}).status_code == 404


def test_an_old_question_of_a_step_out_of_play_offers_no_more_of_it(cast: Cast) -> None:
    only(cast.school_class, EASY)
    question = next_question(start_run(cast.student, NOW), NOW)
    assert question is not None
    show(question, uuid.uuid4(), NOW)
    past = reverse("past_question", args=[question.public_id])
    again = reverse("again", args=[question.public_id])
    assert again in cast.client("student").get(past).content.decode()
    leave_out(cast.school_class, EASY)
    assert again not in cast.client("student").get(past).content.decode()
    assert cast.client("student").post(again).status_code == 404


def test_the_chance_before_and_after_a_question_are_of_the_same_steps(cast: Cast) -> None:
    only(cast.school_class, EASY, "redox.oxidation_number")
    question = next_question(start_run(cast.student, NOW), NOW)
    assert question is not None
    assert set(question.reason["not_taught"]) == set(SKILLS) - {EASY, "redox.oxidation_number"}
    before = question.reason["chance"][0]
    leave_out(cast.school_class)
    wide = next_question(start_run(cast.student, NOW), NOW)
    assert wide is not None
    if wide.topic == "redox":
        assert wide.reason["chance"][0] != pytest.approx(before)


def test_where_nothing_at_all_is_left_a_run_ends_without_a_fault(cast: Cast) -> None:
    only(cast.school_class)
    with pytest.raises(NothingToAskError):
        next_question(start_run(cast.student, NOW), NOW)
    student, teacher = cast.client("student"), cast.client("teacher")
    assert student.post(reverse("start_run"), {}, follow=True).status_code == 200
    for name in ("home", "progress"):
        assert student.get(reverse(name)).status_code == 200
    for name in ("class_page", "mistakes", "in_play"):
        assert teacher.get(reverse(name, args=[cast.school_class.public_id])).status_code == 200


@pytest.mark.parametrize(("level", "count"), [("first_year", 1), ("second_year", 2), ("unknown", 2)])
def test_levels_build_on_each_other(level: str, count: int) -> None:
    assert len(levels_upto(level)) == count


class TestHomework:
    """A set is made of what its classes have been taught."""

    def url(self, cast: Cast, topic: str = "") -> str:
        return reverse("new_set", args=[cast.school_class.public_id]) + (f"?topic={topic}" if topic else "")

    def fields(self, cast: Cast, **changes: object) -> dict[str, object]:
        soon = timezone.now() + timedelta(days=2)
        return {
            "title": "Before the weekend", "classes": [cast.school_class.pk], "skills": [EASY],
            "setup_name": next(iter(OFFERED)), "level": "first_year", "number": 3, "mode": "own",
            "attempts": 2, "late": "accepted", "opens_at": f"{timezone.now():%Y-%m-%dT%H:%M}",
            "due_at": f"{soon:%Y-%m-%dT%H:%M}", **changes,
        }  # fmt: skip

    def test_steps_that_no_class_of_the_teacher_was_taught_are_not_offered(self, cast: Cast) -> None:
        leave_out(cast.school_class, EASY)
        page = cast.client("teacher").get(self.url(cast)).content.decode()
        assert f'value="{EASY}"' not in page
        SchoolClass.objects.start(cast.teacher, "5 C")
        assert f'value="{EASY}"' in cast.client("teacher").get(self.url(cast)).content.decode()

    def test_a_topic_is_proposed_without_what_is_not_taught(self, cast: Cast) -> None:
        leave_out(cast.school_class, EASY)
        form = cast.client("teacher").get(self.url(cast, "redox")).context["form"]
        assert form.initial["skills"]
        assert EASY not in form.initial["skills"]

    def test_a_whole_topic_leaves_out_what_is_not_taught(self, cast: Cast) -> None:
        leave_out(cast.school_class, EASY)
        fields = self.fields(cast, skills=[], topics=["redox"])
        assert cast.client("teacher").post(self.url(cast), fields).status_code == 302
        assert EASY not in HomeworkSet.objects.get().skills

    def test_a_step_that_one_of_the_classes_lacks_is_refused_with_its_name(self, cast: Cast) -> None:
        SchoolClass.objects.start(cast.teacher, "5 C")
        leave_out(cast.school_class, EASY)
        response = cast.client("teacher").post(self.url(cast), self.fields(cast))
        assert "Not taught in 3 B so far: Half-reaction from what is seen." in response.content.decode()
        assert not HomeworkSet.objects.exists()
