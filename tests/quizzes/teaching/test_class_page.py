"""The class page: what the class lacks, and how sure that is."""

import random

import pytest
from django.urls import reverse
from django.utils import timezone
from pytest_django import DjangoAssertNumQueries

from accounts.models import SchoolClass
from problems.generators.setups import SHOWCASE
from quizzes.adaptive.update import Observation, update
from quizzes.models import Strength
from quizzes.runs import start_run
from quizzes.steering import belief_of, current, keep, skill_map
from tests.conftest import Cast
from tests.factories import UserFactory


def page_of(cast: Cast, person: str = "teacher") -> str:
    url = reverse("class_page", args=[cast.school_class.public_id])
    return cast.client(person).get(url).content.decode()


def practise(student: object, right: dict[str, float], answers: int, seed: int) -> None:
    """Give a student so many answers, each topic right with its own chance."""
    known, rng = current(), random.Random(seed)
    row, _ = Strength.objects.get_or_create(student=student)
    belief = belief_of(row, known.parameters)
    for count in range(answers):
        place = count % len(belief.skills)
        score = float(rng.random() < right.get(belief.topics[place], 0.9))
        level = next(
            level
            for level in ("first_year", "second_year")
            if (belief.skills[place], level, "") in known.items.table
        )
        item = known.items.item(belief.skills[place], level)
        belief = update(
            belief, Observation(belief.skills[place], item, score, 2300.0, 0.03), known.parameters
        )
    row.answers = answers
    keep(row, belief, known)
    row.save()


def test_a_class_without_answers_names_no_weakest_topic(cast: Cast) -> None:
    page = page_of(cast)
    assert "Not enough answers yet" in page
    assert "not enough answers yet: 0 of 10" in page
    assert "Weakest topic of this class" not in page


def test_a_weak_topic_is_named_with_the_chance_that_it_is_true(cast: Cast) -> None:
    for place in range(12):
        student = UserFactory()
        cast.school_class.add_student(student)
        practise(student, {"redox": 0.1}, 60, place)
    page = page_of(cast)
    assert "Weakest topic of this class: <strong>Redox</strong>" in page
    assert ">weak<" in page


def test_an_empty_class_says_so(cast: Cast) -> None:
    empty = SchoolClass.objects.start(cast.teacher, "Empty")
    url = reverse("class_page", args=[empty.public_id])
    assert "Nobody has joined yet." in cast.client("teacher").get(url).content.decode()


@pytest.mark.parametrize(
    ("person", "status"), [("co_teacher", 200), ("outsider", 404), ("student", 404), ("staff", 404)]
)
def test_who_may_see_a_class(cast: Cast, person: str, status: int) -> None:
    url = reverse("class_page", args=[cast.school_class.public_id])
    assert cast.client(person).get(url).status_code == status


def test_the_page_of_forty_students_takes_a_fixed_number_of_queries(
    cast: Cast, django_assert_max_num_queries: DjangoAssertNumQueries
) -> None:
    for place in range(40):
        student = UserFactory()
        cast.school_class.add_student(student)
        practise(student, {}, len(skill_map().skills), place)
    client = cast.client("teacher")
    url = reverse("class_page", args=[cast.school_class.public_id])
    with django_assert_max_num_queries(12):
        client.get(url)


def test_a_new_class_gets_a_join_word(cast: Cast) -> None:
    client = cast.client("teacher")
    fields = {"name": "5 C", "level": "second_year", "time_zone": "Europe/Madrid", "exam_date": "2027-06-10"}
    page = client.post(reverse("new_class"), fields, follow=True).content.decode()
    made = SchoolClass.objects.get(name="5 C")
    assert made.join_word_to_read in page
    assert "5 C" in client.get(reverse("classes")).content.decode()


def test_a_topic_leads_to_a_set_with_its_steps_ticked(cast: Cast) -> None:
    start_run(cast.student, timezone.now(), SHOWCASE)
    url = reverse("new_set", args=[cast.school_class.public_id])
    form = cast.client("teacher").get(url, {"topic": "redox"}).context["form"]
    assert form["skills"].value()
    assert all(name.startswith("redox.") for name in form["skills"].value())
