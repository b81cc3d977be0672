"""How points and a teacher's decisions are put into words on pages."""

from django import template
from django.contrib.auth.models import AnonymousUser
from django.utils.formats import number_format
from django.utils.translation import gettext as _

from accounts.models import User
from quizzes.models import Answer, Question, Ruling, SentIn
from quizzes.practice.shown import ShownPart

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


@register.simple_tag
def sent_in_of(question: Question, shown: ShownPart) -> SentIn | None:
    """The last time a part was sent in to a teacher; no query where it cannot have been."""
    if not shown.may_have_been_sent:
        return None
    sent = SentIn.objects.filter(question=question, part=shown.index)
    return sent.select_related("closed_by").first()


@register.simple_tag
def waiting_for(teacher: User | AnonymousUser) -> int:
    """How many things that students sent in this teacher has not looked at."""
    return SentIn.objects.for_teacher(teacher).open().count() if isinstance(teacher, User) else 0
