"""How points and a teacher's decisions are put into words on pages."""

from django import template
from django.utils.formats import number_format
from django.utils.translation import gettext as _

from quizzes.models import Answer, Ruling

register = template.Library()


@register.filter
def points(number: float) -> str:
    """At most two decimals, and none that is a closing zero."""
    rounded = round(number, 2)
    return str(number_format(rounded if rounded % 1 else int(rounded)))


@register.filter
def ruled_words(score: float) -> str:
    """How an answer stands by a teacher's decision."""
    words = {1.0: _("✓ Right,"), 0.5: _("◐ Partly right,"), 0.0: _("✗ Not right,")}
    return words[score]


@register.filter
def standing_rulings(answer: Answer) -> list[Ruling]:
    """The decisions that hold for the answers to the same part of a question, by answer."""
    given = Ruling.objects.filter(answer__question=answer.question_id, answer__part=answer.part)
    last = {
        ruling.answer_id: ruling
        for ruling in given.select_related("answer", "by").order_by("answer__number", "pk")
    }
    return [ruling for ruling in last.values() if ruling.decision != Ruling.Decision.WITHDRAWN]
