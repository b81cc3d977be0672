"""The topics as pages name them."""

from django.utils.translation import gettext, gettext_noop

TITLES = {
    "reaction_types": gettext_noop("Reaction types"),
    "acid_base": gettext_noop("Acids and bases"),
    "balancing": gettext_noop("Balancing"),
    "redox": gettext_noop("Redox"),
    "stoichiometry": gettext_noop("Amounts"),
}


def topic_title(topic: str) -> str:
    return gettext(TITLES[topic]) if topic in TITLES else topic
