"""Of a step of the class "weak" is said where it is likely to be true, and of any other nothing."""

import pytest
from django.template.loader import render_to_string

from quizzes.adaptive.class_skills import ClassSkill
from quizzes.adaptive.report import Chance
from quizzes.teaching.weak_skills import SkillLine, WeakSkills
from tests.conftest import Cast


@pytest.mark.parametrize(
    ("below", "enough", "is_weak", "said", "unsaid"),
    [
        (0.93, True, True, "sure to 93", "not enough"),
        (0.65, True, False, "–", "65"),
        (0.93, False, False, "not enough answers yet: 7 of 10", "93"),
    ],
)
def test_what_is_said(cast: Cast, below: float, enough: bool, is_weak: bool, said: str, unsaid: str) -> None:
    chance = Chance(0.41, 0.31, 0.51, 24 if enough else 7)
    line = SkillLine("Half-reaction", "Redox", ClassSkill("redox.half", chance, below, 9, enough, is_weak))
    skills = WeakSkills([line], 0.6)
    page = render_to_string(
        "teaching/_skills.html", {"lines": [line], "skills": skills, "school_class": cast.school_class}
    )
    cell = page.rpartition('<td class="whole">')[2].partition("</td>")[0]
    assert said in cell
    assert unsaid not in cell
    assert ("weak" in cell) == is_weak
