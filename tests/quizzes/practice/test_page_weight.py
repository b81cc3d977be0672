"""How much a phone has to load: under 120 kB for a first page, under 15 kB for an exchange."""

import gzip
import re
import uuid
from pathlib import Path

import pytest
from django.contrib.staticfiles import finders
from django.http import HttpResponse
from django.test import Client
from django.urls import reverse
from whitenoise.compress import Compressor

from problems.registry import SKILLS, make_question
from quizzes import runs
from quizzes.models import Question
from tests.conftest import Cast
from tests.quizzes.conftest import NOW

FIRST_LOAD, EXCHANGE = 120_000, 15_000
"""The promises of the product [bytes]."""
ZIPPED = {"Accept-Encoding": "gzip"}
HTMX = {"HX-Request": "true", **ZIPPED}
PAGES = ("home", "progress", "past_questions", "help")


def files_of(page: str) -> set[str]:
    """The files that a page makes a browser fetch: style sheets, scripts, pictures."""
    links = re.findall(r'<(?:link|script|img|source|use)\b[^>]*?(?:href|src)="([^"]+)"', page)
    return {link.partition("?")[0] for link in links if not link.startswith("data:")}


def transferred(link: str, folder: Path) -> int:
    """What a file weighs as the site serves it: compressed by WhiteNoise, where that is worth it."""
    found = finders.find(link.removeprefix("/static/"))
    assert found, link
    copy = folder / Path(link).name
    copy.write_bytes(Path(found).read_bytes())
    compressor = Compressor(use_brotli=False, quiet=True)
    packed = compressor.compress(str(copy)) if compressor.should_compress(copy.name) else []
    return min(path.stat().st_size for path in (copy, *map(Path, packed)))


def weight(response: HttpResponse, folder: Path) -> int:
    return len(response.content) + sum(transferred(link, folder) for link in files_of(read(response)))


def read(response: HttpResponse) -> str:
    """The page as the browser unpacks it."""
    packed = response.headers.get("Content-Encoding") == "gzip"
    return (gzip.decompress(response.content) if packed else response.content).decode()


def asked(cast: Cast, skill: str) -> Question:
    made = make_question(skill, SKILLS[skill].levels[0], 1)
    run = runs.start_run(cast.student, NOW, made.setup)
    reason = {"code": "weakest", "topic": made.topic, "chance": [0.5, 0.3, 0.7], "success": 0.6}
    return runs.store(run, 1, made, reason, NOW)


def test_what_is_fetched_is_found_and_packed(tmp_path: Path) -> None:
    page = '<link rel="icon" href="data:,"><link href="/static/accounts/base.css"><script src="/static/a.js">'
    assert files_of(page) == {"/static/accounts/base.css", "/static/a.js"}
    plain = Path(finders.find("accounts/base.css")).read_bytes()
    packed = transferred("/static/accounts/base.css", tmp_path)
    assert packed < len(plain)
    assert packed == pytest.approx(len(gzip.compress(plain, 9)), rel=0.02)


@pytest.mark.parametrize("skill", sorted(SKILLS))
def test_a_question_is_light(cast: Cast, tmp_path: Path, skill: str) -> None:
    question, client = asked(cast, skill), cast.client("student")
    first = client.get(reverse("run", args=[question.run.public_id]), headers=ZIPPED)
    assert weight(first, tmp_path) < FIRST_LOAD
    assert heaviest_exchange(client, question) < EXCHANGE


def heaviest_exchange(client: Client, question: Question) -> int:
    """The heaviest of: a wrong answer, every hint, the answer shown with its solution, the next question."""
    weights = [len(sent(client, "answer", question, answer="Xe", option="none").content)]
    weights += [len(sent(client, "hint", question).content) for _ in range(3)]
    weights.append(len(sent(client, "show_answer", question).content))
    following = reverse("next_question", args=[question.run.public_id])
    weights.append(len(client.post(following, headers=HTMX).content))
    return max(weights)


def sent(client: Client, name: str, question: Question, **fields: str) -> HttpResponse:
    part = {"part": question.open_part() or 0, "token": uuid.uuid4()}
    response = client.post(reverse(name, args=[question.public_id]), {**part, **fields}, headers=HTMX)
    assert response.status_code == 200
    return response


@pytest.mark.parametrize("name", PAGES)
def test_the_other_pages_are_light(cast: Cast, tmp_path: Path, name: str) -> None:
    response = cast.client("student").get(reverse(name), headers=ZIPPED)
    assert weight(response, tmp_path) < FIRST_LOAD
