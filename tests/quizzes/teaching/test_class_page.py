"""The class page: what the class lacks, and how sure that is."""

import random
from datetime import timedelta

import pytest
from django.urls import reverse
from django.utils import timezone
from pytest_django import DjangoAssertNumQueries

from accounts.models import SchoolClass
from problems.generators.setups import SHOWCASE
from problems.registry import SKILLS
from quizzes.adaptive.update import Observation, update
from quizzes.models import Strength, StrengthDay
from quizzes.runs import start_run
from quizzes.steering import belief_of, current, keep, skill_map
from quizzes.teaching.class_table import Cell, class_table
from tests.conftest import Cast
from tests.factories import UserFactory


def page_of(cast: Cast, person: str = "teacher", **query: str) -> str:
    url = reverse("class_page", args=[cast.school_class.public_id])
    return cast.client(person).get(url, query).content.decode()


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
    # Of a topic that nobody was asked about nothing is known of the class, however many are in it.
    topics = page[page.index('id="by-topic"') : page.index('id="students"')]
    assert topics.count("no answers yet") == 5
    assert "<svg" not in topics


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
    for query in ({}, {"open": "stoichiometry", "sort": "stoichiometry.electrons", "size": "4"}):
        with django_assert_max_num_queries(12):
            client.get(url, query)


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


def order_of(page: str, *names: str) -> list[str]:
    table = page[page.index('id="by-student"') : page.index('id="groups"')]
    return sorted(names, key=lambda name: table.index(f">{name}<"))


@pytest.fixture
def two(cast: Cast) -> Cast:
    """Ines is weak in redox and has many answers, Bruno in balancing; a newcomer has too few."""
    practise(cast.student, {"redox": 0.05}, 80, 1)
    practise(cast.classmate, {"balancing": 0.05}, 60, 2)
    newcomer = UserFactory(display_name="Ada")
    cast.school_class.add_student(newcomer)
    practise(newcomer, {}, 4, 3)
    return cast


@pytest.mark.parametrize(
    ("sort", "expected"),
    [
        ("", ["Ada", "Bruno", "Ines"]), ("answers", ["Ada", "Bruno", "Ines"]),
        ("redox", ["Ines", "Bruno", "Ada"]), ("balancing", ["Bruno", "Ines", "Ada"]),
        ("nonsense", ["Ada", "Bruno", "Ines"]),
    ],
)  # fmt: skip
def test_the_head_of_a_column_sorts_the_weakest_first(two: Cast, sort: str, expected: list[str]) -> None:
    """Who has too few answers for a chance comes last, and says how many are lacking."""
    page = page_of(two, sort=sort)
    assert order_of(page, "Ines", "Bruno", "Ada") == expected
    assert "not enough answers yet: 4 of 10" in page


def test_an_opened_topic_shows_its_steps_for_each_student(two: Cast) -> None:
    page = page_of(two, open="redox", sort="redox.half_reaction")
    assert "Students by step: Redox" in page
    assert SKILLS["redox.half_reaction"].title in page
    assert order_of(page, "Ines", "Bruno", "Ada") == ["Ines", "Bruno", "Ada"]
    assert "Back to all topics" in page
    assert "Students by topic" in page_of(two, open="alchemy")


def remember(student: object, days_ago: int, mean: float, answers: int = 30) -> None:
    """How the student stood on a day, in every topic alike."""
    topics = {topic: [mean, mean - 0.1, mean + 0.1] for topic in skill_map().topic_names}
    day = timezone.now().date() - timedelta(days=days_ago)
    StrengthDay.objects.create(student=student, date=day, answers=answers, topics=topics)


def cell_of(cast: Cast, topic: str) -> Cell:
    table = class_table(cast.school_class, timezone.now())
    place = [column.name for column in table.columns].index(topic)
    return next(row for row in table.rows if row.student == cast.student).cells[place]


def test_change_is_told_against_the_last_day_three_weeks_ago_or_more(two: Cast) -> None:
    """In points of a hundred: the chance now less the one then."""
    assert cell_of(two, "redox").change is None
    remember(two.student, 5, 0.1)
    assert cell_of(two, "redox").change is None
    remember(two.student, 60, 0.2)
    remember(two.student, 30, 0.9)
    cell = cell_of(two, "redox")
    assert cell.change == round(100 * (cell.chance.mean - 0.9))
    assert "▼" in page_of(two)
    assert "points down" in page_of(two)


def test_no_change_is_told_against_too_few_answers(two: Cast) -> None:
    remember(two.student, 30, 0.9, answers=9)
    assert cell_of(two, "redox").change is None


def test_the_class_has_a_change_where_three_students_have_one(two: Cast) -> None:
    def of_class() -> list[int | None]:
        return [line.change for line in class_table(two.school_class, timezone.now()).topics]

    remember(two.student, 30, 0.5)
    remember(two.classmate, 30, 0.5)
    assert {*of_class()} == {None}
    third = UserFactory()
    two.school_class.add_student(third)
    practise(third, {}, 40, 4)
    remember(third, 30, 0.5)
    assert None not in of_class()


def test_groups_name_what_is_shared_and_hold_everyone(cast: Cast) -> None:
    for place in range(3):
        student = UserFactory(display_name=f"Redox {place}")
        cast.school_class.add_student(student)
        practise(student, {"redox": 0.05}, 80, place)
    page = page_of(cast, size="3")
    groups = page[page.index('class="groups"') : page.index("</ol>", page.index('class="groups"'))]
    first, second = groups.split("<li>")[1:]
    assert "Redox 0, Redox 1, Redox 2" in first
    assert "<strong>Redox</strong>" in first
    assert "Bruno, Ines" in second
    assert "not enough answers yet" in second
