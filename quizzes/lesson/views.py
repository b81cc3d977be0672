"""One page from which a teacher takes things into the lesson."""

from __future__ import annotations

import uuid

from django.http import HttpResponse
from django.shortcuts import render
from django.utils import timezone
from django.views.decorators.http import require_safe

from accounts.access import class_of_teacher
from accounts.guards import reader_of, teachers_only
from accounts.requests import PageRequest
from problems.generators.setups import OFFERED
from quizzes.lesson.forms import NUMBERS, CellForm, PaperForm, WallForm, best_setup, shown_setups
from quizzes.steering import seed_of
from quizzes.teaching.weak_skills import weak_skills


@teachers_only
@require_safe
def lesson(request: PageRequest, class_id: uuid.UUID) -> HttpResponse:
    """Forms that lead to worksheets, to the sheet of a demonstration and to a question on the wall, filled
    with what suits the class's weakest steps."""
    school_class, at = class_of_teacher(reader_of(request), class_id), timezone.now()
    weakest = weak_skills(school_class, at).weakest
    weak = [line.found.skill for line in weakest]
    fresh = {"numbers": seed_of("lesson", school_class.public_id, at.timestamp()) % NUMBERS}
    on_paper = best_setup(weak, OFFERED)
    paper = {**fresh, "skill": weak, "setup": on_paper, "number": 6}
    context = {
        "school_class": school_class,
        "weakest": weakest,
        "cell_form": CellForm(school_class, initial={"cell": best_setup(weak, shown_setups())}),
        "wall_form": WallForm(school_class, auto_id="wall_%s", initial={"skill": weak[0] if weak else ""}),
        "paper_form": PaperForm(school_class, initial=paper),
    }
    return render(request, "lesson/lesson.html", context)
