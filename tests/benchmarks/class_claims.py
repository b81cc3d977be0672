"""How often what the class page claims is true, where the truth is known.

    python -m tests.benchmarks.class_claims                     simulated classes of the three worlds
    python -m tests.benchmarks.class_claims --schools 20        and the demo school, filled 20 times

A claim says how sure it is; over many classes it should hold at least as often. `±` is one standard
error of the share that holds.
"""

from __future__ import annotations

import argparse
import os
import tempfile
from collections.abc import Iterable, Iterator, Mapping
from pathlib import Path

import numpy as np
from tqdm import tqdm

from quizzes.adaptive.simulate.claims import Claim, by_kind, claims_of, simulated_claims
from quizzes.adaptive.simulate.run import Plan

LEARNERS = ("own", "stepwise", "misfit")
AFTER = (10, 20, 40)


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawTextHelpFormatter)
    parser.add_argument("--students", type=int, default=2000, help="simulated students of each world (2000)")
    parser.add_argument("--seed", type=int, default=9001, help="9001 where none is given")
    parser.add_argument("--schools", type=int, default=0, help="how many demo schools to fill (0)")
    options = parser.parse_args()
    for learner in LEARNERS:
        plan = Plan(options.students, max(AFTER), options.seed, (learner,), ("class",))
        schools = list(plan.schools(learner))
        for answers in AFTER:
            title = f"world {learner}, {answers} answers a student"
            show(title, (claim for school in schools for claim in simulated_claims(school, answers)))
    if options.schools:
        for title, claims in demo_claims(range(1, options.schools + 1)).items():
            show(title, claims)


def show(title: str, claims: Iterable[Claim]) -> None:
    print(f"\n{title}")
    for kind, held in by_kind(claims).items():
        said = f"said {held.stated:.3f}   held {held.held:.3f} ± {held.error:.3f}"
        print(f"  {kind:28}{held.number:6} claims   {said}")


def demo_claims(seeds: Iterable[int]) -> Mapping[str, list[Claim]]:
    """Of demo schools: as they were filled, and after the daily calibration."""
    found: dict[str, list[Claim]] = {"demo school, as filled": [], "demo school, calibrated": []}
    for seed in tqdm(list(seeds), unit="school"):
        with tempfile.TemporaryDirectory() as folder:
            for title, claims in zip(found, _demo_school(Path(folder), seed), strict=True):
                found[title] += claims
    return found


def _demo_school(folder: Path, seed: int) -> tuple[list[Claim], list[Claim]]:
    """Claims of one school before and after calibration, each from the rows of its database."""
    from django.core.management import call_command
    from django.utils import timezone

    from quizzes import calibration, environment, serving
    from quizzes.demo import school

    serving.use_database(environment.sqlite(folder / "demo.sqlite3"))
    call_command("migrate", verbosity=0)
    at = timezone.now()
    filled = school.fill(at, seed, lambda answers: None)
    before = list(_class_claims(filled, at))
    calibration.calibrate(at)
    calibration.judge_all_anew()
    return before, list(_class_claims(filled, at))


def _class_claims(filled: object, at: object) -> Iterator[Claim]:
    from accounts.models import SchoolClass
    from quizzes import steering
    from quizzes.demo.school import School
    from quizzes.teaching.class_table import beliefs_of

    assert isinstance(filled, School)
    known = steering.current()
    for school_class in SchoolClass.objects.taught_by(filled.teacher):
        found = beliefs_of(school_class, at, known)  # type: ignore[arg-type]
        natures = [filled.natures[student.pk] for student, _ in found]
        chances: dict[str, list[float]] = {}
        for skill, level, kind in known.items.table:
            if not kind:
                mean = float(np.mean([each.chance(skill, level) for each in natures]))
                chances.setdefault(skill, []).append(mean)
        skills = {skill: float(np.mean(values)) for skill, values in chances.items()}
        topics: dict[str, list[float]] = {}
        for skill, value in skills.items():
            topics.setdefault(skill.partition(".")[0], []).append(value)
        truth = {topic: float(np.mean(values)) for topic, values in topics.items()}
        yield from claims_of([belief for _, belief in found], known.items, known.parameters, truth, skills)


if __name__ == "__main__":
    os.environ.setdefault("DJANGO_SETTINGS_MODULE", "quizzes.settings")
    import django

    django.setup()
    main()
