"""The topics as pages name them."""

from django.utils.translation import gettext as _


def topic_title(topic: str) -> str:
    titles = {
        "reaction_types": _("Reaction types"),
        "acid_base": _("Acids and bases"),
        "balancing": _("Balancing"),
        "redox": _("Redox"),
        "stoichiometry": _("Amounts"),
    }
    return titles.get(topic, topic)
