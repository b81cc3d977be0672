"""The fields of a grading case, read with their types; `CaseError` names the field that is amiss."""

from collections.abc import Mapping
from typing import Any

from problems.errors import ProblemError
from problems.words import _

Case = Mapping[str, Any]


class CaseError(ProblemError):
    """A case that cannot be graded: a field is absent, of a wrong type, or a key does not read."""


def text(case: Case, name: str) -> str:
    """The text in the field `name`; raises CaseError where there is none."""
    return _checked(case, name, str, _("a text"))  # type: ignore[no-any-return]


def optional_text(case: Case, name: str, default: str = "") -> str:
    return text(case, name) if name in case else default


def one_of(case: Case, name: str, allowed: tuple[str, ...], default: str | None = None) -> str:
    """The text in the field, which must be one of `allowed`."""
    value = text(case, name) if default is None else optional_text(case, name, default)
    if value not in allowed:
        raise CaseError(
            _("The field “{name}” is “{value}”, not one of {allowed}.").format(
                name=name, value=value, allowed=", ".join(allowed)
            )
        )
    return value


def texts(case: Case, name: str) -> tuple[str, ...]:
    """The list of texts in the field."""
    values = _checked(case, name, list, _("a list of texts"))
    if not all(isinstance(value, str) for value in values):
        raise _wrong_type(name, _("a list of texts"))
    return tuple(values)


def optional_number(case: Case, name: str) -> float | None:
    """The number in the field, not negative, or None where the field is absent."""
    if name not in case:
        return None
    value = case[name]
    if isinstance(value, bool) or not isinstance(value, int | float) or not 0 <= value < 1e300:
        raise _wrong_type(name, _("a number, not negative"))
    return float(value)


def optional_count(case: Case, name: str) -> int | None:
    """The whole number above zero in the field, or None where the field is absent."""
    if name not in case:
        return None
    value = case[name]
    if isinstance(value, bool) or not isinstance(value, int) or value < 1:
        raise _wrong_type(name, _("a whole number above zero"))
    return value


def slips(case: Case) -> dict[str, Any]:
    """The known wrong answers by code, in their order; empty where the field is absent."""
    if "slips" not in case:
        return {}
    value = case["slips"]
    if not isinstance(value, Mapping) or not all(isinstance(code, str) and code for code in value):
        raise _wrong_type("slips", _("an object of codes and wrong answers"))
    return dict(value)


def text_slips(case: Case) -> dict[str, str]:
    """The slips of a kind whose answers are texts."""
    found = slips(case)
    if not all(isinstance(answer, str) for answer in found.values()):
        raise _wrong_type("slips", _("an object of codes and wrong answers"))
    return found


def _checked(case: Case, name: str, kind: type, words: str) -> Any:
    if name not in case:
        raise CaseError(_("The field “{name}” is missing.").format(name=name))
    value = list(case[name]) if kind is list and isinstance(case[name], tuple) else case[name]
    if not isinstance(value, kind):
        raise _wrong_type(name, words)
    return value


def _wrong_type(name: str, words: str) -> CaseError:
    return CaseError(_("The field “{name}” must be {words}.").format(name=name, words=words))
