"""What goes wrong in a class: counted by skill and code, with examples that name nobody unasked."""

import uuid
from datetime import datetime, timedelta
from html import unescape

import pytest
from django.urls import reverse
from django.utils import timezone
from pytest_django import DjangoAssertNumQueries

from accounts.models import User
from problems.generators.setups import OFFERED, SHOWCASE
from problems.grading.codes import entry
from problems.registry import skills_for
from quizzes.answering import submit
from quizzes.models import Answer, HomeworkSet, Run
from quizzes.rulings import rule
from quizzes.runs import askable, start_homework, start_run
from quizzes.teaching.mistakes import GROUPS, LOOKED_BACK, Mistake, mistakes_of
from tests.conftest import Cast
from tests.factories import HomeworkSetFactory, UserFactory
from tests.quizzes.conftest import SKILL, ask_on, key_of

CHLORINE = "2 Cl^- -> Cl2 + 2 e^-"
NOW = timezone.now()


def type_in(student: User, typed: str, at: datetime = NOW, run: Run | None = None) -> Answer:
    """A student's answer to a half-reaction of the showcase cell."""
    run = run or start_run(student, at, SHOWCASE)
    return submit(ask_on(run), 0, typed, uuid.uuid4(), at)


def page_of(cast: Cast, **query: str) -> str:
    url = reverse("mistakes", args=[cast.school_class.public_id])
    return cast.client("teacher").get(url, query).content.decode()


def mistakes(cast: Cast, with_names: bool = False) -> list[Mistake]:
    found = mistakes_of(cast.school_class, NOW, with_names)
    return [mistake for each in found for mistake in each.mistakes]


def test_a_mistake_of_two_students_is_one_line_with_its_meaning(cast: Cast) -> None:
    for student in (cast.student, cast.classmate):
        type_in(student, CHLORINE)
    type_in(cast.student, CHLORINE)
    [mistake] = mistakes(cast)
    assert (mistake.students, mistake.answers) == (2, 3)
    known = entry("equation", mistake.code)
    assert known is not None
    page = page_of(cast)
    assert known.sentence in page
    assert "2 students" in page
    assert "in 3 answers" in page
    assert "2 Cl^- -&gt; Cl2 + 2 e^-" in page


def test_what_is_right_unreadable_or_shown_is_no_mistake(cast: Cast) -> None:
    run = start_run(cast.student, NOW, SHOWCASE)
    question = ask_on(run)
    submit(question, 0, "->->", uuid.uuid4(), NOW)
    submit(question, 0, key_of(question), uuid.uuid4(), NOW)
    assert mistakes(cast) == []
    assert "No wrong answers in this time." in page_of(cast)


def test_other_classes_and_long_past_weeks_do_not_count(cast: Cast) -> None:
    type_in(cast.outsiders_student, CHLORINE)
    type_in(cast.student, CHLORINE, NOW - LOOKED_BACK - timedelta(hours=1))
    assert mistakes(cast) == []
    type_in(cast.student, CHLORINE, NOW - LOOKED_BACK + timedelta(hours=1))
    assert len(mistakes(cast)) == 1


def test_a_step_that_the_class_has_not_been_taught_is_not_spoken_of(cast: Cast) -> None:
    type_in(cast.student, CHLORINE)
    cast.school_class.not_taught = [SKILL]
    assert mistakes(cast) == []


def test_the_mistake_of_most_students_stands_first(cast: Cast) -> None:
    for _ in range(3):
        type_in(cast.student, CHLORINE)
    for student in (cast.student, cast.classmate):
        type_in(student, "H2 + 2OH^- -> 2H2O + 2e^-")
    found = mistakes(cast)
    assert [each.students for each in found] == [2, 1]
    assert found[0].code != found[1].code


def test_the_same_text_is_shown_once_and_never_more_than_three(cast: Cast) -> None:
    for copies in (1, 2, 3, 4, 4, 4):
        type_in(cast.student, CHLORINE + " " * copies)
    for number in range(2, 7):
        type_in(cast.classmate, f"{2 * number} Cl^- -> {number} Cl2 + {2 * number} e^-")
    for mistake in mistakes(cast):
        typed = [example.typed for example in mistake.examples]
        assert len(typed) == len(set(typed)) <= 3


def set_of(cast: Cast) -> HomeworkSet:
    return HomeworkSetFactory(author=cast.teacher, classes=[cast.school_class])


def test_practice_is_never_shown_with_a_name(cast: Cast) -> None:
    type_in(cast.student, CHLORINE)
    assert "Ines" not in page_of(cast)
    assert "Ines" not in page_of(cast, names="shown")


def test_answers_to_the_classs_own_sets_carry_names_by_the_switch_only(cast: Cast) -> None:
    type_in(cast.student, CHLORINE, run=start_homework(cast.student, set_of(cast), NOW))
    assert "Ines" not in page_of(cast)
    assert "Ines" in page_of(cast, names="shown")


def test_an_answer_to_another_classs_set_carries_no_name(cast: Cast) -> None:
    """The student is in two classes; this class's teacher sees what was typed there, not who."""
    cast.outsiders_class.add_student(cast.student)
    theirs = HomeworkSetFactory(author=cast.outsider, classes=[cast.outsiders_class])
    type_in(cast.student, CHLORINE, run=start_homework(cast.student, theirs, NOW))
    assert "Ines" not in page_of(cast, names="shown")


def test_a_wrong_choice_is_shown_by_its_options(cast: Cast) -> None:
    run = start_run(cast.student, NOW, SHOWCASE)
    question = ask_on(run, next(each.name for each in skills_for(SHOWCASE) if each.kind == "choice"))
    options = question.snapshot.parts[0].options
    wrong = next(option for option in options if option.why_wrong)
    submit(question, 0, [wrong.key], uuid.uuid4(), NOW)
    [mistake] = mistakes(cast)
    assert [(example.typed, example.is_chosen) for example in mistake.examples] == [(wrong.text, True)]
    # Words that were chosen are set as words, what was typed as typed.
    assert "<code>" not in page_of(cast)


def test_one_click_leads_to_a_set_with_just_that_step(cast: Cast) -> None:
    type_in(cast.student, CHLORINE)
    url = reverse("new_set", args=[cast.school_class.public_id])
    assert f'href="{url}?skill={SKILL}"' in page_of(cast)
    form = cast.client("teacher").get(url, {"skill": SKILL}).context["form"]
    assert form["skills"].value() == [SKILL]
    assert form["title"].value()
    assert SKILL in askable(OFFERED[form["setup_name"].value()])


def test_one_click_leads_to_a_question_for_the_screen_without_a_name(cast: Cast) -> None:
    type_in(cast.student, CHLORINE, run=start_homework(cast.student, set_of(cast), NOW))
    [mistake] = mistakes(cast)
    wall = reverse("wall", args=[cast.school_class.public_id])
    address = f"{wall}?skill={SKILL}&amp;code={mistake.code}&amp;numbers=1"
    assert f'href="{address}"' in page_of(cast, names="shown")
    page = cast.client("teacher").get(unescape(address))
    assert page.status_code == 200
    assert "Ines" not in page.content.decode()


def test_a_step_that_is_none_proposes_none(cast: Cast) -> None:
    url = reverse("new_set", args=[cast.school_class.public_id])
    form = cast.client("teacher").get(url, {"skill": "redox.alchemy"}).context["form"]
    assert form["skills"].value() == []


def test_without_enough_answers_no_step_is_called_weak(cast: Cast) -> None:
    page = page_of(cast)
    assert "Not enough answers yet to name a weak step" in page
    assert "not enough answers yet: 0 of 10" in page


def test_an_empty_class_has_a_page(cast: Cast) -> None:
    cast.school_class.memberships.filter(role="student").delete()
    assert "No wrong answers in this time." in page_of(cast)


@pytest.mark.parametrize("students", [3, 30])
def test_the_queries_do_not_grow_with_the_class(
    cast: Cast, students: int, django_assert_max_num_queries: DjangoAssertNumQueries
) -> None:
    for _ in range(students):
        student = UserFactory()
        cast.school_class.add_student(student)
        type_in(student, CHLORINE)
    client, url = cast.client("teacher"), reverse("mistakes", args=[cast.school_class.public_id])
    with django_assert_max_num_queries(13):
        client.get(url)


def test_never_more_than_so_many_mistakes(cast: Cast) -> None:
    answer = type_in(cast.student, CHLORINE)
    for number in range(GROUPS + 5):
        answer.pk, answer.number, answer.token = None, number + 2, uuid.uuid4()
        answer.codes = [f"made_up_{number}"]
        answer.save()
    assert len(mistakes(cast)) == GROUPS


def test_an_answer_ruled_right_is_no_mistake_any_more(cast: Cast) -> None:
    answer = type_in(cast.student, CHLORINE, run=start_homework(cast.student, set_of(cast), NOW))
    answer.question.run.end(NOW)
    rule(answer, "right", "", cast.teacher, NOW)
    assert mistakes(cast) == []
    rule(answer, "withdrawn", "", cast.teacher, NOW)
    assert len(mistakes(cast)) == 1
