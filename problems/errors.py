"""The common base of errors: each carries fields, and one clear sentence as its text."""


class ProblemError(ValueError):
    """Something given to the chemistry that it cannot take; `str()` is a sentence for a person."""
