"""A strength as bytes, and under a skill map that changes."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from quizzes.adaptive.errors import SteeringError
from quizzes.adaptive.state import Strength
from quizzes.adaptive.structure import SkillMap
from tests.quizzes.adaptive.course import COURSE, PARAMETERS, after, fresh, same

HISTORY = [(skill, float(turn % 3 > 0)) for turn, skill in enumerate(COURSE.skills * 2)]


class TestPrior:
    def test_variances_and_covariances_are_sums_of_the_spreads(self):
        covariance = fresh().covariance
        overall, topic, skill = (
            getattr(PARAMETERS, f"spread_{name}") ** 2 for name in ("overall", "topic", "skill")
        )
        assert covariance[0, 0] == pytest.approx(overall + topic + skill)
        assert covariance[0, 1] == pytest.approx(overall + topic)
        assert covariance[0, 4] == pytest.approx(overall)

    def test_nothing_is_shared_between_students(self):
        one = fresh()
        one.covariance[0, 0] = 99
        assert fresh().covariance[0, 0] != 99


class TestBytes:
    def test_there_and_back_bit_for_bit(self):
        strength = after(HISTORY, day=3.25)
        again = Strength.from_bytes(strength.to_bytes())
        assert same(strength, again)
        for name in ("mean", "covariance", "drift", "answers", "last_day"):
            assert np.array_equal(getattr(strength, name), getattr(again, name)), name
        assert (again.skills, again.topics, again.day) == (strength.skills, strength.topics, 3.25)

    def test_what_was_read_can_be_updated(self):
        strength = Strength.from_bytes(fresh().to_bytes())
        strength.mean[0] = 1.0
        assert strength.mean[0] == 1.0

    def test_a_row_stays_small(self):
        twenty_five = SkillMap.of(
            (f"topic{place // 5}.some_skill_{place}", f"topic{place // 5}") for place in range(25)
        )
        assert len(fresh(twenty_five).to_bytes()) < 5000

    @given(st.binary(max_size=400))
    def test_anything_else_is_refused_in_one_sentence(self, data):
        with pytest.raises(SteeringError, match="stored strength"):
            Strength.from_bytes(data)

    def test_a_cut_row_is_refused(self):
        with pytest.raises(SteeringError):
            Strength.from_bytes(fresh().to_bytes()[:-8])

    def test_a_row_that_holds_no_numbers_is_refused(self) -> None:
        strength = after(HISTORY)
        strength.mean[3] = np.nan
        with pytest.raises(SteeringError):
            Strength.from_bytes(strength.to_bytes())

    def test_a_later_format_is_refused(self):
        with pytest.raises(SteeringError):
            Strength.from_bytes(fresh().to_bytes().replace(b'"format":1', b'"format":9'))


class TestSkillMap:
    def test_a_skill_stands_once(self):
        with pytest.raises(SteeringError):
            SkillMap(("a", "a"), ("t", "t"))

    def test_each_skill_has_a_topic(self):
        with pytest.raises(SteeringError):
            SkillMap(("a", "b"), ("t",))

    def test_it_is_not_empty(self):
        with pytest.raises(SteeringError):
            SkillMap((), ())


class TestAligned:
    def test_the_same_map_gives_the_same_strength(self):
        strength = after(HISTORY)
        assert strength.aligned(COURSE, PARAMETERS) is strength

    def test_a_retired_skill_is_dropped_and_nothing_else_moves(self):
        strength = after(HISTORY)
        less = SkillMap(COURSE.skills[1:], COURSE.topics[1:])
        found = strength.aligned(less, PARAMETERS)
        assert np.array_equal(found.mean, strength.mean[1:])
        assert np.array_equal(found.covariance, strength.covariance[1:, 1:])
        assert np.array_equal(found.answers, strength.answers[1:])

    def test_a_new_skill_moves_nothing_else(self):
        strength = after(HISTORY)
        more = SkillMap(("redox.new", *COURSE.skills), ("redox", *COURSE.topics))
        found = strength.aligned(more, PARAMETERS)
        assert np.array_equal(found.mean[1:], strength.mean)
        assert np.array_equal(found.covariance[1:, 1:], strength.covariance)
        assert (found.answers[0], found.last_day[0], found.drift[0]) == (0, -1, 0)

    def test_a_new_skill_is_where_it_would_be_had_it_always_stood_there(self):
        less = SkillMap(COURSE.skills[:-1], COURSE.topics[:-1])
        history = [each for each in HISTORY if each[0] != COURSE.skills[-1]]
        always = after(history)
        joined = always.aligned(less, PARAMETERS).aligned(COURSE, PARAMETERS)
        practice = always.drift @ np.ones(12) / 12
        assert joined.mean[-1] == pytest.approx(always.mean[-1], abs=0.35 * practice + 0.05)
        assert joined.covariance[-1] == pytest.approx(always.covariance[-1], abs=0.05)

    def test_the_first_new_skill_of_a_student_nobody_knows_has_the_prior(self):
        more = SkillMap((*COURSE.skills, "new.x"), (*COURSE.topics, "new"))
        assert same(fresh().aligned(more, PARAMETERS), fresh(more)) or fresh().aligned(
            more, PARAMETERS
        ).covariance == pytest.approx(fresh(more).covariance, abs=1e-12)

    def test_a_renamed_skill_keeps_all_that_is_known_of_it(self):
        strength = after(HISTORY)
        renamed = SkillMap(("redox.better_name", *COURSE.skills[1:]), COURSE.topics)
        found = strength.aligned(renamed, PARAMETERS, {"redox.a": "redox.better_name"})
        assert found.skills == renamed.skills
        assert np.array_equal(found.mean, strength.mean)
        assert np.array_equal(found.answers, strength.answers)

    def test_renaming_twice_is_renaming_once(self) -> None:
        """A list of old names may stay in the code for good."""
        renamed = SkillMap(("redox.better_name", *COURSE.skills[1:]), COURSE.topics)
        names = {"redox.a": "redox.better_name"}
        once = after(HISTORY).aligned(renamed, PARAMETERS, names)
        assert once.aligned(renamed, PARAMETERS, names) is once

    def test_another_order_only_moves_places(self):
        strength = after(HISTORY)
        turned = SkillMap(COURSE.skills[::-1], COURSE.topics[::-1])
        assert same(strength.aligned(turned, PARAMETERS).aligned(COURSE, PARAMETERS), strength)

    def test_a_wholly_new_course_starts_from_the_prior(self):
        other = SkillMap(("x", "y"), ("t", "t"))
        assert after(HISTORY).aligned(other, PARAMETERS).mean == pytest.approx(PARAMETERS.mean)

    @given(
        st.lists(st.sampled_from([*COURSE.skills, "new.1", "new.2", "redox.new"]), min_size=1, unique=True)
    )
    def test_any_change_leaves_a_strength_that_can_go_on(self, skills):
        skill_map = SkillMap.of((skill, skill.split(".")[0]) for skill in skills)
        found = after(HISTORY).aligned(skill_map, PARAMETERS)
        assert found.skills == tuple(skills)
        assert np.linalg.eigvalsh(found.covariance).min() > 0
        assert np.array_equal(found.covariance, found.covariance.T)
