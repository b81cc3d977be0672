"""The progress page: charts and tables of the same numbers, own mistakes, past questions."""

import re
from datetime import timedelta
from html import unescape

import pytest
from django.urls import reverse
from django.utils import timezone

from problems.generators.setups import SHOWCASE
from quizzes import rulings, steering
from quizzes.answering import show, submit
from quizzes.models import Question, Run, StrengthDay
from quizzes.practice.progress import ON_A_PAGE
from quizzes.practice.reasons import percent
from quizzes.practice.shown import tries_of
from quizzes.runs import start_run
from tests.conftest import Cast
from tests.quizzes.conftest import ask_on, fields, key_of

WRONG = "2 Cl^- -> Cl2 + 2 e^-"
TOPICS = ("Reaction types", "Acids and bases", "Balancing", "Redox", "Amounts")


@pytest.fixture
def now_run(cast: Cast) -> Run:
    return start_run(cast.student, timezone.now() - timedelta(days=3), SHOWCASE)


def answered(run: Run, typed: str, position: int, days_ago: float = 0) -> Question:
    question = ask_on(run, position=position, seed=position)
    token = fields(typed)["token"]
    submit(question, 0, typed, token, timezone.now() - timedelta(days=days_ago))
    return question


def page_of(cast: Cast, person: str = "student", name: str = "progress", query: str = "") -> str:
    return unescape(cast.client(person).get(reverse(name) + query).content.decode())


def test_before_the_first_answer_there_is_a_page_too(cast: Cast) -> None:
    page = page_of(cast)
    assert page.count('class="chart"') == 5
    assert "Nothing so far." in page
    assert "No question was answered so far." in page_of(cast, name="past_questions")


def test_every_topic_has_a_chart_and_a_column_of_its_numbers(cast: Cast, now_run: Run) -> None:
    answered(now_run, WRONG, 1, days_ago=3)
    answered(now_run, WRONG, 2, days_ago=2)
    page = page_of(cast)
    head = page[page.index('id="numbers"') :].partition("</thead>")[0]
    assert all(f">{topic}<" in head and f'aria-label="{topic}: ' in page for topic in TOPICS)
    body = page[page.index('id="numbers"') :].partition("<tbody>")[2].partition("</tbody>")[0]
    assert body.count("<tr>") == StrengthDay.objects.filter(student=cast.student).count() + 1 == 3
    assert page.count('class="dot"') == 3 * 5


def test_the_table_shows_what_the_strength_rows_hold(cast: Cast, now_run: Run) -> None:
    answered(now_run, WRONG, 1, days_ago=2)
    mean, low, high = StrengthDay.objects.get(student=cast.student).topics["redox"]
    page = page_of(cast)
    assert percent(mean) in page
    assert f"{round(100 * low)}–{round(100 * high)}" in page


def test_a_day_that_is_not_over_stands_once(cast: Cast, now_run: Run) -> None:
    answered(now_run, WRONG, 1)
    assert page_of(cast).count('class="dot"') == 5


def test_the_present_chance_is_the_one_of_the_start_page(cast: Cast, now_run: Run) -> None:
    answered(now_run, WRONG, 1)
    chance = steering.chances(cast.student, timezone.now())["redox"]
    caption = re.search(r"<strong>Redox</strong>.*?</figcaption>", page_of(cast), re.S)
    assert caption is not None
    assert percent(chance.mean) in caption.group()
    assert percent(chance.mean) in page_of(cast, name="home")


def test_mistakes_come_with_their_number_the_most_frequent_first(cast: Cast, now_run: Run) -> None:
    answered(now_run, "4 H2O + 4 e^- -> 2 H2 + 4 OH^-", 1)
    for position in (2, 3):
        answered(now_run, WRONG, position)
    page = page_of(cast)
    mistakes = page[page.index('class="mistakes"') :].partition("</ol>")[0]
    items = mistakes.split("<li>")[1:]
    assert "2 times" in items[0]
    assert "once" in items[1]
    assert reverse("past_question", args=[now_run.questions.get(position=3).public_id]) in items[0]
    assert 'value="redox.half_reaction"' in items[0]


def test_right_answers_old_answers_and_those_of_others_are_no_mistakes(cast: Cast, now_run: Run) -> None:
    question = ask_on(now_run, position=1)
    submit(question, 0, key_of(question), fields("")["token"], timezone.now())
    answered(now_run, WRONG, 2, days_ago=70)
    answered(start_run(cast.classmate, timezone.now(), SHOWCASE), WRONG, 1)
    assert "Nothing so far." in page_of(cast)


def test_a_ruling_takes_a_mistake_off_the_list(cast: Cast, now_run: Run) -> None:
    question = answered(now_run, WRONG, 1)
    show(question, fields("")["token"], timezone.now())
    assert "Nothing so far." not in page_of(cast)
    answer = question.answers.order_by("number")[0]
    rulings.rule(answer, "right", "", cast.teacher, timezone.now())
    assert "Nothing so far." in page_of(cast)


def test_every_step_of_the_level_is_listed_and_can_be_practised(cast: Cast) -> None:
    page = page_of(cast)
    assert 'value="redox.half_reaction"' in page
    assert page.count('class="steps stacks"') == 5


def test_past_questions_are_paged_newest_first_and_each_opens(cast: Cast, now_run: Run) -> None:
    for position in range(1, ON_A_PAGE + 3):
        question = ask_on(now_run, position=position, seed=position)
        Question.objects.filter(pk=question.pk).update(made_at=timezone.now() + timedelta(seconds=position))
        show(question, fields("")["token"], timezone.now())
    first, second = (
        page_of(cast, name="past_questions"),
        page_of(cast, name="past_questions", query="?page=2"),
    )
    assert len(re.findall(r"/questions/[0-9a-f-]{36}/", first)) == ON_A_PAGE
    assert len(re.findall(r"/questions/[0-9a-f-]{36}/", second)) == 2
    newest = now_run.questions.order_by("-position")[0]
    assert first.index(str(newest.public_id)) < first.index("</tr>", first.index("<tbody>"))
    assert "Page 1 of 2" in first
    link = reverse("past_question", args=[newest.public_id])
    assert "Worked solution" in cast.client("student").get(link).content.decode()


def test_a_question_stands_once_however_often_it_was_tried_and_only_if_it_was(
    cast: Cast, now_run: Run
) -> None:
    tried = answered(now_run, WRONG, 1)
    submit(tried, 0, WRONG, fields("")["token"], timezone.now())
    untried = ask_on(now_run, position=2)
    page = page_of(cast, name="past_questions")
    assert page.count(str(tried.public_id)) == 1
    assert str(untried.public_id) not in page


def test_a_past_question_shows_every_try_with_what_was_found(cast: Cast, now_run: Run) -> None:
    question = answered(now_run, WRONG, 1)
    submit(question, 0, "Ag^+ + e^- -> Ag", fields("")["token"], timezone.now())
    submit(question, 0, key_of(question), fields("")["token"], timezone.now())
    link = reverse("past_question", args=[question.public_id])
    page = unescape(cast.client("student").get(link).content.decode())
    tries = page[page.index('class="tries"') :].partition("</ol>")[0].split("<li>")[1:]
    assert [WRONG in tries[0], "Ag^+ + e^- -> Ag" in tries[1], key_of(question) in tries[2]] == [True] * 3
    first = question.answers.order_by("number")[0]
    assert first.message
    assert first.message in tries[0]


def test_a_try_of_a_choice_stands_in_the_words_of_its_options(cast: Cast, now_run: Run) -> None:
    question = ask_on(now_run, "reaction_types.driven")
    wrong = next(each for each in question.snapshot.parts[0].options if [each.key] != key_of(question))
    submit(question, 0, [wrong.key], fields("")["token"], timezone.now())
    assert [each.typed for each in tries_of(question)] == [wrong.text]


def test_a_question_left_when_its_run_was_ended_can_be_reviewed(cast: Cast, now_run: Run) -> None:
    question = answered(now_run, WRONG, 1)
    client, link = cast.client("student"), reverse("past_question", args=[question.public_id])
    assert client.get(link).headers["Location"] == reverse("run", args=[now_run.public_id])
    client.post(reverse("end_run", args=[now_run.public_id]))
    page = client.get(link).content.decode()
    assert "Worked solution" in page
    assert 'name="answer"' not in page


@pytest.mark.parametrize("page", ["0", "-1", "x", "999"])
def test_a_page_that_is_not_there_is_the_nearest(cast: Cast, page: str) -> None:
    assert cast.client("student").get(reverse("past_questions"), {"page": page}).status_code == 200


def test_others_see_nothing_of_it(cast: Cast, now_run: Run) -> None:
    question = answered(now_run, WRONG, 1)
    for name in ("progress", "past_questions"):
        assert str(question.public_id) in page_of(cast, name=name)
        assert str(question.public_id) not in page_of(cast, "classmate", name)


def test_the_pages_ask_the_database_few_times(
    cast: Cast, now_run: Run, django_assert_max_num_queries: object
) -> None:
    for position in range(1, 8):
        answered(now_run, WRONG, position)
    client = cast.client("student")
    for name, most in (("progress", 14), ("past_questions", 9)):
        with django_assert_max_num_queries(most):  # type: ignore[operator]
            client.get(reverse(name))
