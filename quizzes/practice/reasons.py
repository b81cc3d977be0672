"""Why this question: one plain sentence made of the numbers that the steering kept with it."""

from collections.abc import Mapping
from typing import Any

from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from quizzes.topics import topic_title


def percent(chance: float) -> str:
    [written] = _percents(chance)
    return written


def _percents(*chances: float) -> list[str]:
    pattern = _("%(number)d\u00a0%%")
    return [pattern % {"number": round(100 * chance)} for chance in chances]


def reason_sentence(reason: Mapping[str, Any]) -> str:
    """The sentence for a stored reason; empty for one this version does not know."""
    make = SENTENCES.get(reason.get("code", ""))
    return make(reason) if make else ""


def _fields(reason: Mapping[str, Any]) -> dict[str, str]:
    mean, low, high = reason["chance"]
    chance, upper, success = _percents(mean, high, reason["success"])
    return {
        "topic": topic_title(reason["topic"]),
        "chance": chance,
        "low": str(round(100 * low)),
        "high": upper,
        "success": success,
    }


def _weakest(reason: Mapping[str, Any]) -> str:
    return _(
        "%(topic)s may be your weakest topic now: your chance of getting the next one right is %(chance)s "
        "(%(low)s–%(high)s). Your chance with this question: about %(success)s."
    ) % _fields(reason)


def _planned(reason: Mapping[str, Any]) -> str:
    return _(
        "This run goes from what is seen to what is weighed. %(topic)s is in it, as it may have been your "
        "weakest topic when the run began: your chance of getting the next one right is %(chance)s "
        "(%(low)s–%(high)s). Your chance with this question: about %(success)s."
    ) % _fields(reason)


def _next_weakest(reason: Mapping[str, Any]) -> str:
    return _(
        "Your weakest topic was asked just now, so %(topic)s is next: chance of getting the next one right "
        "%(chance)s (%(low)s–%(high)s)."
    ) % _fields(reason)


def _rested(reason: Mapping[str, Any]) -> str:
    days = round(reason["numbers"]["days_rested"])
    return ngettext(
        "You last practised this %(days)d day ago, and the exam is near enough to look at it again.",
        "You last practised this %(days)d days ago, and the exam is near enough to look at it again.",
        days,
    ) % {"days": days}


def _foundation(reason: Mapping[str, Any]) -> str:
    return _(
        "What comes next rests on this step, and your chance of getting it right is only %(chance)s so far."
    ) % {"chance": percent(reason["numbers"]["skill_chance"])}


def _assigned(reason: Mapping[str, Any]) -> str:
    return _("Your teacher chose this question for the set.")


def _chosen(reason: Mapping[str, Any]) -> str:
    return _("You chose to practise this step.")


SENTENCES = {
    "weakest": _weakest,
    "next_weakest": _next_weakest,
    "planned": _planned,
    "rested": _rested,
    "foundation": _foundation,
    "assigned": _assigned,
    "chosen": _chosen,
}
