"""`ReadingError`: why a typed text has no reading, and where."""

from typing import Literal

from problems.errors import ProblemError

Fault = Literal["unreadable", "letter_case", "look_alike", "unknown_element"]


class ReadingError(ProblemError):
    """A typed text that cannot be read; the sentence says what to do about it.

    `position` and `length` point into the text as typed [code points, from 0]; `suggestion` is the
    corrected text of the faulty species, where one is known.
    """

    def __init__(
        self,
        code: Fault,
        sentence: str,
        position: int | None = None,
        length: int | None = None,
        suggestion: str = "",
    ) -> None:
        self.code, self.sentence, self.suggestion = code, sentence, suggestion
        self.position, self.length = position, length
        super().__init__(sentence)
