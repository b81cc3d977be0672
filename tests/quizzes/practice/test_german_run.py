"""A student's whole way in German: no page and no fragment keeps an English sentence.

The words looked for are common English ones that no German sentence has (common practice); formulas,
names and texts that people typed hold none of them.
"""

import re
import uuid
from collections.abc import Sequence
from datetime import datetime
from html.parser import HTMLParser

import pytest
from django.test import Client
from django.urls import reverse
from django.utils import timezone

from problems import words
from problems.generators.setups import OFFERED
from problems.question import Option
from problems.registry import SKILLS, make_question
from quizzes.models import Question, Run
from quizzes.runs import start_run
from quizzes.snapshots import Snapshot
from tests.conftest import Cast
from tests.quizzes.conftest import key_of

ENGLISH = re.compile(
    r"\b(the|of|is|are|and|with|that|which|what|from|this|to|by|for|its|both|not|one|two|does|has|as|your|you|"
    r"on|at|no|yet|question|answer|answers|show|cathode)\b",
    re.IGNORECASE,
)
NAMES = re.compile(r"Voltameter|English|UTC|Isle of Man|Port of Spain")
UNREADABLE = "2 H2O -> -> ("
SPOKEN = {"aria-label", "title", "alt", "placeholder"}
UNSEEN = {"script", "style", "code", "q"}


class Seen(HTMLParser):
    """What a reader sees or hears of a page, template elements included."""

    def __init__(self) -> None:
        super().__init__()
        self.texts: list[str] = []
        self.unseen = 0

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.unseen += tag in UNSEEN
        self.texts += [value for name, value in attrs if name in SPOKEN and value]

    def handle_endtag(self, tag: str) -> None:
        self.unseen -= tag in UNSEEN

    def handle_data(self, data: str) -> None:
        if not self.unseen and data.strip():
            self.texts.append(" ".join(data.split()))


def texts(html: str) -> list[str]:
    seen = Seen()
    seen.feed(html)
    return seen.texts


def assert_german(html: str) -> None:
    english = [text for text in texts(html) if ENGLISH.search(NAMES.sub("", text))]
    assert english == []


@pytest.fixture
def german(cast: Cast) -> Client:
    cast.student.language = "de"
    cast.student.save()
    return cast.client("student")


def get(client: Client, name: str, *args: object) -> str:
    response = client.get(reverse(name, args=args))
    assert response.status_code == 200
    html = response.content.decode()
    assert_german(html)
    return html


def post(client: Client, name: str, *args: object, **fields: object) -> str:
    """Sent as a form is without scripts, and the page it leads to."""
    response = client.post(reverse(name, args=args), fields, follow=True)
    assert response.status_code == 200
    html = response.content.decode()
    assert_german(html)
    return html


@pytest.fixture
def german_run(cast: Cast, german: Client) -> Run:
    post(german, "start_run", setup_name=next(iter(OFFERED)))
    return Run.objects.get(student=cast.student)


def answer(client: Client, question: Question, typed: str | Sequence[str], part: int = 0) -> str:
    fields: dict[str, object] = {"part": part, "token": uuid.uuid4()}
    options = question.snapshot.parts[part].options
    fields |= {"option": keys_in(typed, options)} if options else {"answer": typed}
    return post(client, "answer", question.public_id, **fields)


def keys_in(typed: str | Sequence[str], options: tuple[Option, ...]) -> list[str]:
    """The chosen options: those of the key, or else the first one."""
    wanted = [typed] if isinstance(typed, str) else typed
    return [option.key for option in options if option.key in wanted] or [options[0].key]


@pytest.mark.parametrize(
    "page", ["home", "progress", "past_questions", "my_sent_in", "help", "accounts:profile"]
)
def test_a_page_is_german_before_anything_was_answered(german: Client, page: str) -> None:
    assert '<html lang="de">' in get(german, page)


@pytest.mark.django_db
@pytest.mark.parametrize("page", ["accounts:sign_in", "accounts:join", "home"])
def test_a_page_for_strangers_is_german(client: Client, page: str) -> None:
    response = client.get(reverse(page), headers={"accept-language": "de"}, follow=True)
    assert_german(response.content.decode())


def test_a_run_is_german_to_its_end(german: Client, german_run: Run) -> None:
    run = german_run
    post(german, "next_question", run.public_id)
    while question := run.questions.filter(finished_at=None).order_by("position").first():
        assert question.language == "de"
        one_question(german, question)
        post(german, "next_question", run.public_id)
        run.refresh_from_db()
        if not run.is_open or question.position >= run.length:
            break
    post(german, "end_run", run.public_id)
    assert "Der Durchgang ist beendet" in get(german, "run", run.public_id)
    for page in ("home", "progress", "past_questions"):
        get(german, page)
    for asked in run.questions.all():
        get(german, "past_question", asked.public_id)


def one_question(client: Client, question: Question) -> None:
    """Odd ones are tried, helped and answered; even ones are given up."""
    get(client, "run", question.run.public_id)
    answer(client, question, UNREADABLE)
    post(client, "hint", question.public_id)
    if question.position % 2:
        for part in range(len(question.snapshot.parts)):
            answer(client, question, key_of(question, part), part)
    post(client, "send_in", question.public_id, part=0, note="")
    post(client, "show_answer", question.public_id, part=0, token=uuid.uuid4())


@pytest.mark.parametrize("skill", sorted(SKILLS))
def test_a_question_of_every_step_is_german_on_its_page(cast: Cast, german: Client, skill: str) -> None:
    question = asked_in_german(cast, skill, timezone.now())
    get(german, "run", question.run.public_id)
    answer(german, question, UNREADABLE)
    answer(german, question, wrong(question))
    for _each in range(3):
        post(german, "hint", question.public_id)
    html = post(german, "show_answer", question.public_id, part=0, token=uuid.uuid4())
    assert "Lösungsweg" in html or len(question.snapshot.parts) > 1
    get(german, "past_question", question.public_id)


def asked_in_german(cast: Cast, skill: str, at: datetime) -> Question:
    """The first question of a run that is about one step."""
    level = SKILLS[skill].levels[0]
    with words.language("de"):
        made = make_question(skill, level, 1)
    return Question.objects.create(
        run=start_run(cast.student, at, made.setup),
        position=1,
        skill=skill,
        level=level,
        version=made.version,
        seed=1,
        language="de",
        snapshot_bytes=Snapshot.of(made).pack(),
        reason={"code": "assigned", "topic": made.topic},
        made_at=at,
    )


def wrong(question: Question) -> str:
    slips = question.snapshot.parts[0].grading.get("slips") or {}
    first = next(iter(slips.values()), "17 kg") if isinstance(slips, dict) else "17 kg"
    return first if isinstance(first, str) else first[0]


def test_the_feedback_keeps_the_language_of_the_question(cast: Cast, german: Client) -> None:
    """A question begun in German is judged in German, whatever its reader has chosen since."""
    question = asked_in_german(cast, "redox.half_reaction", timezone.now())
    cast.student.language = "en"
    cast.student.save()
    html = german.post(
        reverse("answer", args=[question.public_id]),
        {"answer": "2 H2O -> H2", "part": 0, "token": uuid.uuid4()},
        follow=True,
    ).content.decode()
    said = question.answers.get().message
    assert said
    assert not ENGLISH.search(said)
    assert "✗ Not right." in html


def test_numbers_have_a_comma(german: Client, german_run: Run) -> None:
    facts = get(german, "run_cell", german_run.public_id)
    assert re.search(r"\d,\d", " ".join(texts(facts)))
    assert not re.search(r"\d\.\d", " ".join(texts(facts)))
