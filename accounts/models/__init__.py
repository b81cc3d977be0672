"""Users, their classes, invitations of teachers, changes that can be taken back, looks, the throttle."""

from accounts.models.changes import Change
from accounts.models.classes import Membership, SchoolClass, make_join_word
from accounts.models.invitations import Invitation
from accounts.models.looks import Look
from accounts.models.throttle import SignInThrottle
from accounts.models.users import User

__all__ = [
    "Change",
    "Invitation",
    "Look",
    "Membership",
    "SchoolClass",
    "SignInThrottle",
    "User",
    "make_join_word",
]
