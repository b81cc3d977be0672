"""The keys under an answer box put in what the grader reads."""

import pytest
from django.urls import reverse

from problems.chemistry.reading import live_readings
from problems.grading.case import grade
from quizzes.models import Question, Run
from quizzes.practice.keys import keys_for
from tests.conftest import Cast
from tests.quizzes.conftest import ask_on


def test_an_equation_put_together_from_keys_alone_is_read() -> None:
    by_label = {key.label: key.inserts for key in keys_for({"kind": "equation"})}
    typed = f"2H₂O{by_label['liquid']}+2{by_label['electron']}{by_label['arrow']}H₂{by_label['gas']}+2OH"
    typed += by_label["negative charge"] + by_label["dissolved in water"]
    assert live_readings(typed, ()) == ("2 H₂O(l) + 2 e⁻ → H₂(g) + 2 OH⁻(aq)",)


def test_an_expression_has_the_letters_of_its_question_as_keys() -> None:
    keys = [key.inserts for key in keys_for({"kind": "expression", "symbols": ["n", "F", "t"]})]
    assert keys == ["n", "F", "t", "·", "/", "(", ")", "^"]
    case = {"kind": "expression", "symbols": ["n", "F", "t"], "expected": "2*n*F/t", "id": ""}
    assert grade({**case, "answer": "2·(n·F)/t^1"}).verdict == "correct"


@pytest.mark.parametrize("kind", ["quantity", "ratio", "oxidation_number", "choice"])
def test_other_kinds_have_none(kind: str) -> None:
    assert keys_for({"kind": kind}) == []


def test_keys_are_named_buttons_that_submit_nothing(cast: Cast, question: Question) -> None:
    page = cast.client("student").get(reverse("run", args=[question.run.public_id])).content.decode()
    row = page[page.index('class="keys"') :].partition("</div>")[0]
    buttons = row.split("<button")[1:]
    assert len(buttons) == 10
    assert "hidden>" in row.partition("<button")[0]
    for button in buttons:
        assert 'type="button"' in button
        assert 'aria-label="' in button
    assert row.count('tabindex="0"') == 1


def test_a_quantity_has_no_row_of_keys(cast: Cast, run: Run) -> None:
    ask_on(run, "stoichiometry.gas_volume")
    page = cast.client("student").get(reverse("run", args=[run.public_id])).content.decode()
    assert 'class="keys"' not in page
