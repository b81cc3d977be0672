"""A question in parts: a later part is judged on the student's own earlier result."""

import pytest
from django.urls import reverse

from quizzes import steering
from quizzes.models import Question, Run, Strength
from tests.conftest import Cast
from tests.quizzes.conftest import ask_on, fields, key_of

CHAIN = "stoichiometry.whole_chain"


@pytest.fixture
def chain(run: Run) -> Question:
    return ask_on(run, CHAIN)


def answer(cast: Cast, chain: Question, part: int, typed: str) -> str:
    url = reverse("answer", args=[chain.public_id])
    cast.client("student").post(url, fields(typed, part))
    verdict: str = chain.answers.filter(part=part).latest("number").verdict
    return verdict


def part_of(chain: Question, skill: str) -> int:
    return next(index for index, part in enumerate(chain.snapshot.parts) if part.skill == skill)


def up_to(cast: Cast, chain: Question, part: int) -> None:
    for index in range(part):
        assert answer(cast, chain, index, key_of(chain, index)) == "correct"


@pytest.mark.parametrize("follows", [True, False])
def test_right_from_the_own_value_and_from_the_true_one_both_count(
    cast: Cast, chain: Question, follows: bool
) -> None:
    electrons, amount = (
        part_of(chain, "stoichiometry.electrons"),
        part_of(chain, "stoichiometry.product_amount"),
    )
    up_to(cast, chain, electrons)
    slip = chain.snapshot.parts[electrons].grading["slips"]["electrons_doubled"]
    for _ in range(3):
        assert answer(cast, chain, electrons, slip) == "wrong"
    true, unit = key_of(chain, amount).split()
    typed = f"{2 * float(true):.4e} {unit}" if follows else f"{true} {unit}"
    assert answer(cast, chain, amount, typed) == "correct"


def test_a_double_value_without_a_slip_before_it_is_wrong(cast: Cast, chain: Question) -> None:
    amount = part_of(chain, "stoichiometry.product_amount")
    up_to(cast, chain, amount)
    true, unit = key_of(chain, amount).split()
    assert answer(cast, chain, amount, f"{2 * float(true):.4e} {unit}") == "wrong"


def test_the_page_says_what_was_carried(cast: Cast, chain: Question) -> None:
    up_to(cast, chain, part_of(chain, "stoichiometry.product_amount"))
    page = cast.client("student").get(reverse("run", args=[chain.run.public_id])).content.decode()
    assert "From your earlier parts:" in page


def test_each_part_moves_its_own_skill(cast: Cast, chain: Question) -> None:
    up_to(cast, chain, len(chain.snapshot.parts))
    row = Strength.objects.get(student=cast.student)
    belief = steering.belief_of(row, steering.current().parameters)
    practised = {skill for skill, count in zip(belief.skills, belief.answers, strict=True) if count}
    assert practised == {part.skill for part in chain.snapshot.parts}


def test_a_carried_number_is_written_as_the_reader_writes_it(cast: Cast, chain: Question) -> None:
    amount = part_of(chain, "stoichiometry.product_amount")
    up_to(cast, chain, amount)
    true = key_of(chain, part_of(chain, "stoichiometry.electrons"))
    address = reverse("run", args=[chain.run.public_id])
    student = cast.client("student")
    assert true in carried_on(student.get(address).content.decode())
    german = student.get(address, headers={"Accept-Language": "de"}).content.decode()
    assert true.replace(".", ",") in carried_on(german)


def carried_on(page: str) -> str:
    """The line of a page that names what is carried into the open part."""
    return page.replace("\N{NO-BREAK SPACE}", " ").split('<p class="carried">')[-1].split("</p>")[0]


def test_a_chain_went_right_only_if_every_part_did(cast: Cast, chain: Question) -> None:
    kinds = [part.grading["kind"] for part in chain.snapshot.parts]
    ratio = kinds.index("ratio")
    up_to(cast, chain, ratio)
    for _ in range(3):
        answer(cast, chain, ratio, "7:5")
    client = cast.client("student")
    client.post(reverse("end_run", args=[chain.run.public_id]))
    page = client.get(reverse("run", args=[chain.run.public_id])).content.decode()
    assert "◐ partly right" in page
    assert "✓ right" not in page
