"""A run is one sitting of a student on one setup; its questions are made one by one."""

from __future__ import annotations

import json
import uuid
from collections.abc import Sequence, Set
from contextlib import AbstractContextManager
from datetime import datetime
from functools import cached_property, lru_cache
from typing import TYPE_CHECKING, Any, NamedTuple

from django.apps import apps
from django.conf import settings
from django.db import models
from django.db.models import Count
from django.utils.translation import gettext_lazy as _

from accounts.prepared import Prepared, PreparedUpdate
from problems.cell.setup import Setup
from problems.conventions import Conventions, written
from quizzes.snapshots import Snapshot

if TYPE_CHECKING:
    from accounts.models import User
    from quizzes.models.answers import Answer

LEVEL_CHOICES = [("first_year", _("first year")), ("second_year", _("second year"))]


@lru_cache(maxsize=1024)
def _setup_of(text: str) -> Setup:
    """Every request of a run asks for its setup, and reading quantities takes a millisecond."""
    return Setup.from_json(json.loads(text))


class RunQuerySet(models.QuerySet["Run"]):
    def of(self, student: User) -> RunQuerySet:
        return self.filter(student=student)

    def open(self) -> RunQuerySet:
        return self.filter(ended_at=None)

    def practice(self) -> RunQuerySet:
        """Runs that the student started alone, without a homework set."""
        return self.filter(homework_set=None)

    def of_one_step(self) -> RunQuerySet:
        """One step practised by itself: a single question."""
        return self.practice().filter(length=1)

    def to_go_on_with(self) -> RunQuerySet:
        """Practice begun and not ended, with `made`, its number of questions so far.

        A single step is begun anew rather than gone on with.
        """
        return self.practice().open().exclude(length=1).annotate(made=Count("questions"))


class Run(models.Model):
    public_id = models.UUIDField(default=uuid.uuid4, unique=True, editable=False)
    student = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.CASCADE, related_name="runs")
    homework_set = models.ForeignKey(
        "quizzes.HomeworkSet", null=True, blank=True, on_delete=models.PROTECT, related_name="runs"
    )
    setup_json = models.JSONField()
    # How the class writes things; nothing means as usual.
    conventions = models.JSONField(default=dict, blank=True)
    level = models.CharField(max_length=12, choices=LEVEL_CHOICES)
    length = models.PositiveSmallIntegerField(default=10)
    # The topics of its questions in order, as steered when it was begun; beyond them any may be asked.
    plan = models.JSONField(default=list, blank=True)
    seed = models.BigIntegerField()
    started_at = models.DateTimeField()
    ended_at = models.DateTimeField(null=True, blank=True)

    objects = RunQuerySet.as_manager()

    class Meta:
        ordering = ["-started_at", "-pk"]
        indexes = [models.Index(fields=["student", "-started_at"])]
        constraints = [
            models.UniqueConstraint(
                fields=["student", "homework_set"],
                condition=models.Q(homework_set__isnull=False),
                name="one_run_per_student_and_set",
            )
        ]

    def __str__(self) -> str:
        return f"run {self.public_id}"

    @cached_property
    def setup(self) -> Setup:
        return _setup_of(json.dumps(self.setup_json))

    def as_written(self) -> AbstractContextManager[None]:
        """Inside the block everything is written as in the class that the run was begun for."""
        return written(Conventions.from_json(self.conventions))

    @property
    def is_open(self) -> bool:
        return self.ended_at is None

    def current_question(self) -> Question | None:
        """The last question made, finished or not."""
        return self.questions.order_by("-position").first()

    def last_made(self, lately: Sequence[Lately]) -> tuple[int, datetime | None]:
        """The position of the last question made, 0 before the first, and when it was finished.

        Asked for only where the student's questions `lately` do not tell.
        """
        own = [(each.position, each.finished_at) for each in lately if each.run == self.pk]
        return own[-1] if own else LAST_MADE.first(self.pk) or (0, None)

    def lock(self) -> None:
        """Keep other requests from the run, and take in what they have changed in it."""
        [self.ended_at] = LOCKED(self.pk)

    def end(self, at: datetime) -> None:
        """End the run once; ending it again changes nothing."""
        Run.objects.filter(pk=self.pk, ended_at=None).update(ended_at=at)
        self.refresh_from_db(fields=["ended_at"])


class Lately(NamedTuple):
    """What is remembered of a question made lately."""

    skill: str
    run: int
    position: int
    finished_at: datetime | None


class QuestionQuerySet(models.QuerySet["Question"]):
    def of(self, student: User) -> QuestionQuerySet:
        return self.filter(run__student=student)

    def lately(self, student: User) -> list[Lately]:
        """The student's last questions, the newest last."""
        return [Lately(*row) for row in reversed(LATELY(student.pk))]


class Question(models.Model):
    public_id = models.UUIDField(default=uuid.uuid4, unique=True, editable=False)
    run = models.ForeignKey(Run, on_delete=models.CASCADE, related_name="questions")
    position = models.PositiveSmallIntegerField()
    skill = models.CharField(max_length=80)
    level = models.CharField(max_length=12, choices=LEVEL_CHOICES)
    version = models.PositiveSmallIntegerField()
    seed = models.BigIntegerField()
    language = models.CharField(max_length=8, default="en")
    # How many parts the snapshot has, so that marks need not open it.
    parts = models.PositiveSmallIntegerField(default=1)
    snapshot_bytes = models.BinaryField()
    reason = models.JSONField(default=dict)
    hints_seen = models.PositiveSmallIntegerField(default=0)
    made_at = models.DateTimeField()
    finished_at = models.DateTimeField(null=True, blank=True)

    objects = QuestionQuerySet.as_manager()

    class Meta:
        ordering = ["run", "position"]
        constraints = [models.UniqueConstraint(fields=["run", "position"], name="one_question_per_position")]

    def __str__(self) -> str:
        return f"question {self.public_id}"

    @cached_property
    def snapshot(self) -> Snapshot:
        return Snapshot.unpack(bytes(self.snapshot_bytes))

    @property
    def topic(self) -> str:
        return self.skill.partition(".")[0]

    @property
    def is_finished(self) -> bool:
        return self.finished_at is not None

    @property
    def is_over(self) -> bool:
        """Finished, or left when its run was ended: it takes no answer any more, and can be reviewed."""
        return self.is_finished or not self.run.is_open

    def finish(self, at: datetime) -> None:
        """Close the question: no further answer counts, and the solution may be shown."""
        FINISH(self.pk, finished_at=at)
        self.finished_at = self.finished_at or at

    def see_hint(self, upto: int) -> None:
        """Remember that hints up to number `upto` (1 to 3) were shown; never fewer than before."""
        Question.objects.filter(pk=self.pk, hints_seen__lt=upto).update(hints_seen=upto)
        self.refresh_from_db(fields=["hints_seen"])

    @cached_property
    def so_far(self) -> list[Answer]:
        """The answers to this question in their order, read once; `read_again` for what others changed."""
        return SO_FAR(self.pk)

    def read_again(self) -> None:
        """What another request may have changed since this object was read: call it under the lock.

        Only an answer finishes a question, so that before the first one there is nothing to read again.
        """
        self.so_far = SO_FAR(self.pk)
        if self.so_far:
            [(self.finished_at, self.hints_seen, self.run.ended_at)] = STATE(self.pk)

    def open_part(self) -> int | None:
        """The index of the first part neither right nor out of attempts; None when there is none."""
        return self.first_open({part for part, settles, _ in self.standing() if settles})

    def first_open(self, settled: Set[int]) -> int | None:
        """The first part that is not among the settled ones; None where the question is over."""
        if self.is_over:
            return None
        return next((index for index in range(len(self.snapshot.parts)) if index not in settled), None)

    def standing(self) -> list[tuple[int, bool, bool]]:
        """Of each answer so far: its part, whether it settles that part, and whether it counted."""
        rows = self.answers.order_by().values_list("part", "settles", "score")
        return [(part, settles, score is not None) for part, settles, score in rows]

    def as_identity(self) -> dict[str, Any]:
        """What `manage.py question` needs to make the same question again."""
        return {"skill": self.skill, "level": self.level, "version": self.version, "seed": self.seed}


REMEMBERED = 10
"""So many questions are remembered for the choice of the next."""
LAST_MADE = Prepared(
    lambda run: (
        Question.objects.filter(run=run).order_by("-position").values_list("position", "finished_at")[:1]
    )
)
LOCKED = Prepared(
    lambda run: Run.objects.select_for_update().filter(pk=run).order_by().values_list("ended_at", flat=True)
)
SO_FAR = Prepared(
    lambda question: apps.get_model("quizzes", "Answer").objects.filter(question=question).order_by("number")
)
LATELY = Prepared(
    lambda student: (
        Question.objects.filter(run__student=student)
        .order_by("-pk")
        .values_list("skill", "run", "position", "finished_at")[:REMEMBERED]
    )
)
FINISH = PreparedUpdate(
    lambda question: Question.objects.filter(pk=question, finished_at=None), "finished_at"
)
STATE = Prepared(
    lambda question: (
        Question.objects.filter(pk=question)
        .order_by()
        .values_list("finished_at", "hints_seen", "run__ended_at")
    )
)
