"""The steering reaches what it is meant to, in short form: a few hundred students on fixed seeds.

Bounds are wide enough that another seed would pass as well; the full form with its figures is in
`quizzes/adaptive/NOTES.md`.
"""

from functools import cache
from typing import Any

import pytest

from quizzes.adaptive.errors import SteeringError
from quizzes.adaptive.simulate.parts import PARTS
from quizzes.adaptive.simulate.run import Plan, run
from quizzes.adaptive.simulate.text import as_text

MEASURED = ("own", "stepwise", "misfit")
LEARNT = ("own", "own_band", "stepwise", "misfit")
SEED, STUDENTS = 20_260, 480


@cache
def figures(part: str, learner: str) -> dict[str, Any]:
    found = run(Plan(STUDENTS, 100, SEED, (learner,), (part,))).figures
    return found["learners"][learner][part]


@pytest.mark.parametrize("learner", MEASURED)
class TestPrediction:
    def gap(self, learner: str, name: str) -> float:
        of = figures("prediction", learner)
        return of[name]["log_loss"] - of["oracle"]["log_loss"]

    def test_honest_from_the_first_answer(self, learner: str) -> None:
        assert self.gap(learner, "ours_start") < {"own": 0.035, "stepwise": 0.050, "misfit": 0.048}[learner]
        assert figures("prediction", learner)["ours_start"]["ece"] < 0.035

    def test_a_class_of_strangers_soon_calibrates_itself(self, learner: str) -> None:
        cold = self.gap(learner, "ours_cold")
        assert cold < {"own": 0.024, "stepwise": 0.032, "misfit": 0.036}[learner]
        assert cold < self.gap(learner, "ours_start") - 0.002
        assert figures("prediction", learner)["ours_cold"]["ece"] < 0.025

    def test_near_the_oracle_after_a_class_and_nearer_after_ten(self, learner: str) -> None:
        one, ten = self.gap(learner, "ours_tuned_30"), self.gap(learner, "ours_tuned_300")
        assert one < {"own": 0.027, "stepwise": 0.027, "misfit": 0.034}[learner]
        assert ten < {"own": 0.009, "stepwise": 0.017, "misfit": 0.013}[learner]
        assert ten < one < self.gap(learner, "ours_start") + 0.004
        assert figures("prediction", learner)["ours_tuned_300"]["ece"] < 0.022

    def test_no_peer_is_clearly_better(self, learner: str) -> None:
        of = figures("prediction", learner)
        best = min(of[name]["log_loss"] for name in ("elo", "pfa", "bkt"))
        assert of["ours_tuned_300"]["log_loss"] < best + 0.004


@pytest.mark.parametrize("learner", MEASURED)
class TestSteering:
    def test_weak_topics_are_found_sooner_than_at_random_or_greedily(self, learner: str) -> None:
        found = figures("finding", learner)
        assert found["ours"] <= 50
        assert found["ours"] < found["random"]
        assert found["greedy"] is None or found["ours"] < found["greedy"]

    @pytest.mark.parametrize("answers", ["10", "20", "50"])
    def test_intervals_hold_the_truth_as_often_as_they_should(self, learner: str, answers: str) -> None:
        assert 0.83 <= figures("intervals", learner)[answers] <= 0.985

    def test_what_is_flagged_is_weak(self, learner: str) -> None:
        assert figures("flag", learner)["precision"] >= 0.92
        assert figures("flag", learner)["recall_20"] >= 0.28

    def test_a_class_is_told_the_truth(self, learner: str) -> None:
        assert figures("class", learner)["within_003"] >= 0.6
        assert figures("class", learner)["coverage"] >= 0.85


class TestLearning:
    @pytest.mark.parametrize("learner", LEARNT)
    def test_the_worst_topic_ends_higher_than_in_turn(self, learner: str) -> None:
        of = figures("learning", learner)
        assert of["ours"]["worst_topic"] > of["in_turn"]["worst_topic"] + 0.02
        assert of["ours"]["exam_mean"] > of["in_turn"]["exam_mean"] - 0.005

    def test_on_the_mean_of_all_worlds(self) -> None:
        def mean(policy: str, measure: str) -> float:
            return sum(figures("learning", each)[policy][measure] for each in LEARNT) / len(LEARNT)

        assert (
            mean("ours", "worst_topic")
            > max(mean(each, "worst_topic") for each in ("random", "greedy")) + 0.03
        )
        assert mean("ours", "all_above_06") > mean("in_turn", "all_above_06") + 0.05
        assert mean("ours", "exam_mean") >= 0.65


class TestPlan:
    @pytest.mark.parametrize(
        ("wrong", "field"),
        [
            ({"students": 9}, "students"), ({"students": 10**9}, "students"), ({"answers": 19}, "answers"),
            ({"seed": -1}, "seed"), ({"learners": ("nobody",)}, "learners"), ({"learners": ()}, "learners"),
            ({"parts": ("nothing",)}, "part"), ({"parts": ()}, "part"),
        ],
    )  # fmt: skip
    def test_nonsense_is_refused(self, wrong: dict[str, Any], field: str) -> None:
        with pytest.raises(SteeringError) as caught:
            Plan(**{"students": 60, "answers": 100, "seed": 1, **wrong})
        assert caught.value.field == field

    def test_students_are_split_into_schools_without_loss(self) -> None:
        plan = Plan(1000, 100, 1)
        assert sum(school.count for school in plan.schools("own")) == 1000
        assert len({school.seed for school in plan.schools("own")}) == len(list(plan.schools("own"))) == 4

    def test_a_step_for_each_part_of_each_school(self) -> None:
        plan, steps = Plan(480, 20, 1, ("own", "own_band"), ("learning", "intervals")), list[int]()
        run(plan, lambda: steps.append(1))
        assert len(steps) == plan.steps() == 2 * (2 + 1)


class TestResults:
    def test_the_same_seed_gives_the_same_figures_and_another_gives_others(self) -> None:
        def of(seed: int) -> dict[str, Any]:
            return run(Plan(60, 30, seed, ("own",), ("learning", "finding"))).figures["learners"]

        assert of(1) == of(1)
        assert of(1) != of(2)

    def test_a_part_gives_the_same_alone_or_among_others(self) -> None:
        alone, among = (
            run(Plan(60, 30, 1, ("misfit",), parts)).figures["learners"]["misfit"]["flag"]
            for parts in (("flag",), tuple(PARTS))
        )
        assert alone == among

    def test_fewer_answers_leave_later_figures_empty(self) -> None:
        found = run(Plan(60, 20, 1, ("own",), ("intervals",))).figures["learners"]["own"]["intervals"]
        assert found["50"] is None
        assert found["20"] > 0.5

    def test_the_text_shows_every_part_with_its_error(self) -> None:
        text = as_text(run(Plan(480, 50, 1, ("own",), ("finding", "intervals", "flag", "class", "learning"))))
        assert "Students of the world own" in text
        assert text.count("±") >= 10
        assert "never" in text or "greedy" in text
