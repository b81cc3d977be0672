"""What the steering refuses."""

from problems.errors import ProblemError


class SteeringError(ProblemError):
    """A value the model cannot take: `field` names it, `value` is what was given."""

    def __init__(self, field: str, value: object, reason: str) -> None:
        super().__init__(field, value, reason)
        self.field, self.value, self.reason = field, value, reason

    def __str__(self) -> str:
        return f"{self.field} {self.reason}, not {self.value!r}."


class UnknownSkillError(SteeringError):
    """A skill that the strength or the items do not hold."""

    def __init__(self, skill: str) -> None:
        super().__init__("skill", skill, "has to be one of the known skills")


def require(good: bool, field: str, value: object, reason: str) -> None:
    """Raise SteeringError unless `good`."""
    if not good:
        raise SteeringError(field, value, reason)
