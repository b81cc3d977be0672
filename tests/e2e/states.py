"""Every page a student can see, in every state that looks different: a name, and how it comes about.

States are reached by the functions behind the pages, so that walking them all takes no clicking. The
`classmate` has never answered anything; the `student` has.
"""

import uuid
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from datetime import timedelta
from functools import partial
from typing import Literal

from django.urls import reverse
from django.utils import timezone

from problems.cell.setup import Setup
from problems.generators.setups import SHOWCASE
from problems.registry import SKILLS, make_question
from quizzes import answering, rulings, runs
from quizzes.models import Answer, HomeworkSet, Question, Run
from quizzes.practice.sending import send
from tests.conftest import Cast
from tests.factories import HomeworkSetFactory
from tests.quizzes.conftest import key_of

Who = Literal["anonymous", "classmate", "student"]
Reached = Callable[[Cast], str]

HALF = "redox.half_reaction"
CHAIN = "stoichiometry.whole_chain"
KINDS: Mapping[str, str] = {
    "equation": HALF,
    "formula": "acid_base.ion_behind_colour",
    "quantity": "stoichiometry.gas_volume",
    "expression": "stoichiometry.symbols",
    "ratio": "stoichiometry.gas_ratio",
    "oxidation_number": "redox.oxidation_number",
    "choice of one": "redox.driven_electrodes",
    "choice of several": "reaction_types.driven",
    "table and choice": "redox.discharged_ion",
    "two parts": "balancing.find_fault",
    "long equation": "balancing.acid_to_base",
}
"""A step for each kind of answer, and those whose questions are the longest."""
WRONG, PARTLY, UNREADABLE = "2 Cl^- -> Cl2 + 2 e^-", "4 H2O + 4 e^- -> 2 H2 + 4 OH^-", "2 H2O + (Zz"
LONG = "12 Cr2O7^2- + " * 12 + "2 H2O"


@dataclass(frozen=True)
class State:
    name: str
    who: Who
    reach: Reached
    status: int = 200


def begun(cast: Cast, setup: Setup = SHOWCASE, homework: HomeworkSet | None = None) -> Run:
    if homework is not None:
        return runs.start_homework(cast.student, homework, timezone.now())
    return runs.start_run(cast.student, timezone.now(), setup)


def asked(cast: Cast, skill: str, homework: HomeworkSet | None = None) -> Question:
    """The first question of a new run, on a cell on which that step can be asked."""
    made = make_question(skill, SKILLS[skill].levels[0], 1)
    run = begun(cast, made.setup, homework)
    reason = {"code": "weakest", "topic": made.topic, "chance": [0.5, 0.3, 0.7], "success": 0.6}
    return runs.store(run, 1, made, reason, timezone.now())


def answered(question: Question, *typed: str | list[str], part: int = 0) -> Answer:
    for each in typed:
        answer = answering.submit(question, part, each, uuid.uuid4(), timezone.now())
    return answer


def at_run(question: Question) -> str:
    return reverse("run", args=[question.run.public_id])


def judged_as(verdict: str, *typed: str) -> Reached:
    """The half-reaction at the cathode of the showcase cell, its last answer judged like this."""

    def reach(cast: Cast) -> str:
        made = make_question(HALF, "first_year", 1, SHOWCASE)
        reason = {"code": "chosen", "topic": made.topic, "chance": [0.5, 0.3, 0.7]}
        question = runs.store(begun(cast), 1, made, reason, timezone.now())
        assert answered(question, *(typed or [key_of(question)])).verdict == verdict
        return at_run(question)

    return reach


def before(skill: str) -> Reached:
    return lambda cast: at_run(asked(cast, skill))


def wrong_choice(cast: Cast) -> str:
    question = asked(cast, KINDS["choice of one"])
    options = [option.key for option in question.snapshot.parts[0].options]
    answered(question, [next(key for key in options if [key] != key_of(question))])
    return at_run(question)


def hints(cast: Cast) -> str:
    question = asked(cast, KINDS["quantity"])
    question.see_hint(3)
    return at_run(question)


def shown(skill: str) -> Reached:
    def reach(cast: Cast) -> str:
        question = asked(cast, skill)
        answering.show(question, uuid.uuid4(), timezone.now())
        return at_run(question)

    return reach


def followed_through(cast: Cast) -> str:
    """A chain in whose part on electrons a slip was made, so that later parts carry it."""
    made = make_question(CHAIN, "first_year", 1, SHOWCASE)
    reason = {"code": "chosen", "topic": made.topic, "chance": [0.5, 0.3, 0.7]}
    question = runs.store(begun(cast), 1, made, reason, timezone.now())
    parts = question.snapshot.parts
    electrons = next(place for place, part in enumerate(parts) if part.skill == "stoichiometry.electrons")
    for part in range(electrons):
        answered(question, key_of(question, part), part=part)
    answered(question, *[parts[electrons].grading["slips"]["electrons_doubled"]] * 3, part=electrons)
    return at_run(question)


def chain_finished(cast: Cast) -> str:
    question = asked(cast, CHAIN)
    for part in range(len(question.snapshot.parts)):
        answered(question, key_of(question, part), part=part)
    return at_run(question)


def run_over(cast: Cast) -> str:
    question = asked(cast, HALF)
    answered(question, UNREADABLE, WRONG)
    question.run.end(timezone.now())
    return at_run(question)


def a_set(cast: Cast, title: str, days: float = 2, **fields: object) -> HomeworkSet:
    """A set due in so many days."""
    due = timezone.now() + timedelta(days=days)
    opened = {"opens_at": due - timedelta(days=9), "due_at": due, "author": cast.teacher}
    made: HomeworkSet = HomeworkSetFactory(title=title, classes=[cast.school_class], **opened, **fields)
    return made


def every_homework(cast: Cast) -> str:
    """The start page with a set in each state, one begun, and a run to go on with."""
    a_set(cast, "Gases, halves and the sum of all that was done in the last three weeks")
    asked(cast, HALF, a_set(cast, "Begun"))
    a_set(cast, "Late and accepted", days=-1)
    a_set(cast, "Closed", days=-2, late="refused")
    begun(cast, homework=a_set(cast, "Handed in")).end(timezone.now())
    begun(cast)
    return reverse("home")


def homework_question(cast: Cast) -> str:
    return at_run(asked(cast, HALF, a_set(cast, "Without hints", hints_allowed=False)))


def handed_in(cast: Cast) -> str:
    question = asked(cast, HALF, a_set(cast, "Handed in after one"))
    answered(question, key_of(question))
    question.run.end(timezone.now())
    return at_run(question)


def with_exam(cast: Cast) -> str:
    cast.school_class.exam_date = (timezone.now() + timedelta(days=25)).date()
    cast.school_class.save()
    return reverse("progress")


def overruled(cast: Cast) -> str:
    """A past question of a set with three tries, decided by the teacher."""
    question = asked(cast, HALF, a_set(cast, "Overruled", attempts=3))
    first = answered(question, LONG)
    answered(question, WRONG, WRONG, WRONG)
    rulings.rule(first, "partly", "The sum is right; mind the charge.", cast.teacher, timezone.now())
    return reverse("past_question", args=[question.public_id])


def sent_in(cast: Cast, is_closed: bool = False) -> str:
    """A past question of practice that was sent to the teacher."""
    question = asked(cast, HALF)
    answered(question, WRONG)
    question.run.end(timezone.now())
    sent = send(question, 0, "Is this not the other electrode's reaction? " * 8, timezone.now())
    if is_closed:
        sent.close("It is. Read the sign again.", cast.teacher, timezone.now())
    return reverse("past_question", args=[question.public_id])


def past_choice(cast: Cast) -> str:
    question = asked(cast, KINDS["choice of several"])
    answering.show(question, uuid.uuid4(), timezone.now())
    return reverse("past_question", args=[question.public_id])


def page(name: str) -> Reached:
    return lambda cast: reverse(name)


STATES = (
    State("first screen", "anonymous", page("home")),
    State("sign-in", "anonymous", page("accounts:sign_in")),
    State("joining as somebody new", "anonymous", page("accounts:join")),
    State("start page, nothing answered", "classmate", page("home")),
    State("progress, nothing answered, no exam", "classmate", page("progress")),
    State("past questions, none", "classmate", page("past_questions")),
    State("no such page", "student", lambda cast: "/nowhere/", 404),
    State("account", "student", page("accounts:profile")),
    State("password", "student", page("accounts:change_password")),
    State("joining another class", "student", page("accounts:join")),
    State("help", "student", page("help")),
    State("sent to the teacher, nothing", "student", page("my_sent_in")),
    State("run, not begun", "student", lambda cast: reverse("run", args=[begun(cast).public_id])),
    *(State(f"{kind}, before", "student", before(skill)) for kind, skill in KINDS.items()),
    State("right", "student", judged_as("correct")),
    State("partly right", "student", judged_as("partly", PARTLY)),
    State("wrong", "student", judged_as("wrong", WRONG)),
    State("very long", "student", judged_as("unreadable", LONG)),
    State("not readable", "student", judged_as("unreadable", UNREADABLE)),
    State("no try left", "student", judged_as("wrong", WRONG, WRONG, WRONG)),
    State("wrong choice", "student", wrong_choice),
    State("all hints", "student", hints),
    *(State(f"{kind}, shown", "student", shown(skill)) for kind, skill in KINDS.items()),
    State("parts, before", "student", before(CHAIN)),
    State("parts, following through", "student", followed_through),
    State("parts, finished", "student", chain_finished),
    State("run over", "student", run_over),
    State("start page, homework in every state", "student", every_homework),
    State("homework, without hints", "student", homework_question),
    State("homework, handed in", "student", handed_in),
    State("progress, much answered, exam set", "student", with_exam),
    State("past questions, many", "student", page("past_questions")),
    State("past question with a teacher's decision", "student", overruled),
    State("past question, sent in", "student", sent_in),
    State("past question, looked at", "student", partial(sent_in, is_closed=True)),
    State("sent to the teacher, some", "student", page("my_sent_in")),
    State("past question, choice", "student", past_choice),
    State("cell at a minute", "student", lambda cast: reverse("run_cell", args=[begun(cast).public_id])),
)
