"""The skills of a class pooled: their order, what is claimed, and whether the claims hold."""

import numpy as np
import pytest

from quizzes.adaptive.class_skills import ENOUGH_ON_SKILL, class_skills
from quizzes.adaptive.errors import SteeringError
from quizzes.adaptive.layout import layout_of
from quizzes.adaptive.report import skill_chances
from quizzes.adaptive.state import prior_covariance
from quizzes.adaptive.update import update
from tests.quizzes.adaptive.course import COURSE, ITEMS, PARAMETERS, after, certain, fresh, seen

LEVELS = ("first_year", "second_year")
ROUND = [(skill, 0.0 if skill == "acid.c" else 1.0) for skill in COURSE.skills]


def named(found):
    return {each.skill: each for each in found}


def test_the_skill_that_all_miss_comes_first_and_is_weak() -> None:
    found = class_skills([after(ROUND * 5) for _ in range(12)], ITEMS, PARAMETERS)
    assert found[0].skill == "acid.c"
    assert found[0].is_weak
    assert [each.skill for each in found if each.is_weak] == ["acid.c"]
    means = [each.chance.mean for each in found]
    assert means == sorted(means)


def test_likely_is_not_yet_sure() -> None:
    """What is weak with a chance between one half and four fifths is not called weak."""
    found = named(class_skills([after(ROUND * 3) for _ in range(12)], ITEMS, PARAMETERS))["acid.c"]
    assert found.enough
    assert 0.5 < found.below < 0.8
    assert not found.is_weak


def test_every_skill_is_there_once_with_its_first_answers() -> None:
    found = class_skills([after(ROUND), after(ROUND[:6]), fresh()], ITEMS, PARAMETERS)
    assert sorted(each.skill for each in found) == sorted(COURSE.skills)
    first = named(found)[ROUND[0][0]]
    assert (first.chance.answers, first.students) == (2, 2)
    assert (named(found)[ROUND[-1][0]].chance.answers, named(found)[ROUND[-1][0]].students) == (1, 1)


@pytest.mark.parametrize(
    ("students", "answers", "enough"),
    [(3, ENOUGH_ON_SKILL, True), (2, ENOUGH_ON_SKILL, False), (3, ENOUGH_ON_SKILL - 1, False)],
)
def test_nothing_is_claimed_on_few_answers_or_of_few_students(
    students: int, answers: int, enough: bool
) -> None:
    each, rest = divmod(answers, students)
    scores = [[("acid.c", 0.0)] * (each + (place < rest)) for place in range(students)]
    found = named(class_skills([after(row) for row in scores], ITEMS, PARAMETERS))["acid.c"]
    assert found.chance.answers == answers
    assert (found.enough, found.is_weak) == (enough, enough)


def test_a_class_of_one_reads_as_the_student_does() -> None:
    """Up to the error that all share, and the draws: two ways to the same chances."""
    student = certain(np.linspace(-1.5, 2, 12))
    alone = skill_chances(student, ITEMS, PARAMETERS)
    for each in class_skills([student], ITEMS, PARAMETERS):
        assert each.chance.mean == pytest.approx(alone[each.skill].mean, abs=0.02)


def test_nobody_is_no_class() -> None:
    with pytest.raises(SteeringError):
        class_skills([], ITEMS, PARAMETERS)


def test_the_same_class_reads_the_same_again() -> None:
    students = [after(ROUND[place:]) for place in range(5)]
    assert class_skills(students, ITEMS, PARAMETERS) == class_skills(students, ITEMS, PARAMETERS)


def test_claims_of_weakness_hold_as_often_as_they_say() -> None:
    """Classes drawn from the model itself, so the truth is known: of the claims made, the share that is
    true is at least their own mean certainty (less sampling error), and there are many of them."""
    layout = layout_of(COURSE.skills, COURSE.topics, ITEMS)
    claims = []
    for seed in range(25):
        rng = np.random.default_rng(seed)
        theta = rng.multivariate_normal(
            np.full(12, PARAMETERS.mean) + rng.normal(0, 0.5), prior_covariance(COURSE.topics, PARAMETERS), 12
        )
        truth = dict(
            zip(layout.skill_names, layout.skill_chances(theta, PARAMETERS).mean(axis=0), strict=True)
        )
        found = class_skills([answered(row, rng) for row in theta], ITEMS, PARAMETERS)
        claims += [(each.below, truth[each.skill] < PARAMETERS.weak_below) for each in found if each.is_weak]
    said, true = np.array([below for below, _ in claims]), np.array([holds for _, holds in claims])
    assert len(claims) > 60
    assert true.mean() >= said.mean() - 2 * np.sqrt(said.mean() * (1 - said.mean()) / len(claims))


def answered(theta, rng):
    """A student of these strengths after two answers to each skill."""
    strength = fresh()
    for turn, skill in enumerate([*COURSE.skills] * 2):
        item = ITEMS.item(skill, LEVELS[turn % 2])
        margin = item.discrimination * (theta[turn % 12] - item.difficulty)
        chance = PARAMETERS.guess + (1 - PARAMETERS.guess - PARAMETERS.slip) / (1 + np.exp(-margin))
        score = float(rng.random() < chance)
        strength = update(strength, seen(skill, score, item=item, guess=PARAMETERS.guess), PARAMETERS)
    return strength
