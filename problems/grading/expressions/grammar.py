"""The grammar of expressions, read by one small recursive parser over tokens.

    expression  =  ["+" | "-"] term { ("+" | "-") term }
    term        =  chain { ("*" | "/") chain }
    chain       =  [number "/" number] factor { factor }        an implied product
    factor      =  "-" factor  |  primary [power]
    power       =  ["^"] raised  |  "^" exponent
    exponent    =  ["+" | "-"] primary [power]
    primary     =  number  |  symbol  |  "(" expression ")"  |  root factor  |  fraction primary primary

An implied product binds tighter than a division, and two plain numbers with a slash in front of it are
a factor: `It/zF` is It/(zF), `1/2 I t` is half of It. `Binding` names how else it might be meant.
"""

from collections.abc import Sequence
from enum import Enum
from fractions import Fraction

from problems.grading.expressions.tokens import CLOSING, Sort, Token
from problems.grading.expressions.tree import HALF, Node, Number, Power, Symbol, added, multiplied
from problems.grading.typed import UnreadableError
from problems.words import _

DEEPEST = 60


class Binding(Enum):
    """How an implied product stands to a division before it."""

    TIGHT = "the rule above"
    LEFT_TO_RIGHT = "an implied product is a product like any other"
    WHOLE_DENOMINATOR = "two numbers in front are no factor of their own"
    SPACED = "a space ends the denominator"


def parse(tokens: Sequence[Token], binding: Binding = Binding.TIGHT, reading: int = 0) -> Node:
    """The tree of an expression; `reading` picks among the readings of each number.

    Raises UnreadableError with the place where it stops making sense.
    """
    parser = _Parser(tokens, binding, reading)
    node = parser.expression()
    parser.finish()
    return node


class _Parser:
    """One pass over the tokens; every method reads one rule of the grammar and moves on."""

    def __init__(self, tokens: Sequence[Token], binding: Binding, reading: int) -> None:
        self.tokens, self.binding, self.reading = tokens, binding, reading
        self.place = 0
        self.depth = 0

    def expression(self) -> Node:
        terms = []
        negative = self._takes("+", "-") == "-"
        while True:
            terms.append((self._term(), negative))
            sign = self._takes("+", "-")
            if not sign:
                return added(terms)
            negative = sign == "-"

    def finish(self) -> None:
        """Refuse what is left over."""
        if self.place < len(self.tokens):
            token = self.tokens[self.place]
            message = _("“{text}” does not belong here.").format(text=token.text)
            raise UnreadableError(message, token.start, token.end)

    def _term(self) -> Node:
        factors = self._chain(divides=False, in_front=True)
        while sign := self._takes("*", "/"):
            factors += self._chain(divides=sign == "/", in_front=sign == "*")
        return multiplied(factors)

    def _chain(self, divides: bool, in_front: bool) -> list[tuple[Node, bool]]:
        """An implied product, as the factors it adds to its term."""
        fraction = self._fraction_in_front() if in_front else None
        below = [fraction or self._factor()]
        beside: list[Node] = []
        while self._begins_factor():
            apart = bool(beside) or self._stands_apart()
            (beside if apart else below).append(self._factor())
        rest = [(factor, False) for factor in beside]
        if not divides:
            return [(factor, False) for factor in below] + rest
        return [(multiplied([(factor, False) for factor in below]), True), *rest]

    def _stands_apart(self) -> bool:
        """True where the next factor of an implied product is not meant to be divided by."""
        return self.binding is Binding.LEFT_TO_RIGHT or (self.binding is Binding.SPACED and self._gap(0))

    def _gap(self, ahead: int) -> bool:
        """True where a space stands before the token so far ahead."""
        place = self.place + ahead
        return self.tokens[place - 1].end < self.tokens[place].start

    def _fraction_in_front(self) -> Node | None:
        """`1/2` before an implied product, as one number."""
        if self.binding is Binding.WHOLE_DENOMINATOR or self._sorts(3) != ["number", "/", "number"]:
            return None
        if self._sort(3) not in ("symbol", "(", "root", "fraction"):
            return None
        if self.binding is Binding.SPACED and not self._gap(3):
            return None
        above, below = (self._value(self.tokens[self.place + step]) for step in (0, 2))
        if not below:
            return None
        self.place += 3
        return Number(above / below)

    def _begins_factor(self) -> bool:
        """True where an implied product goes on; two numbers side by side are none."""
        sort = self._sort()
        after_number = self.tokens[self.place - 1].sort == "number"
        return sort in ("symbol", "(", "root", "fraction") or (sort == "number" and not after_number)

    def _factor(self) -> Node:
        self._deeper()
        sign = self._takes("+", "-")
        node = self._factor() if sign else self._powered(self._primary())
        self.depth -= 1
        return added([(node, sign == "-")])

    def _powered(self, base: Node) -> Node:
        caret = self._takes("^")
        if self._sort() == "raised":
            return Power(base, Number(self._next().values[0]))
        if not caret:
            return base
        self._deeper()
        sign = self._takes("+", "-")
        exponent = self._powered(self._primary())
        self.depth -= 1
        return Power(base, added([(exponent, sign == "-")]))

    def _primary(self) -> Node:
        token = self._next()
        match token.sort:
            case "number":
                return Number(self._value(token))
            case "symbol":
                return Symbol(token.text)
            case "(":
                return self._bracketed(token)
            case "root":
                self._refuse_index(token)
                return Power(self._factor(), HALF)
            case "fraction":
                above = self._primary()
                return multiplied([(above, False), (self._primary(), True)])
        raise self._unexpected(token)

    def _bracketed(self, opening: Token) -> Node:
        self._deeper()
        node = self.expression()
        closing = self.tokens[self.place] if self.place < len(self.tokens) else None
        if closing is None or closing.text != CLOSING[opening.text]:
            if closing and closing.sort != ")":
                raise self._unexpected(closing)
            raise UnreadableError(_("This bracket is not closed."), opening.start, opening.end)
        self.place += 1
        self.depth -= 1
        return node

    def _refuse_index(self, root: Token) -> None:
        """The third root in LaTeX would else be read as the square root of three."""
        if root.text == "\\sqrt" and self._sort() == "(" and self.tokens[self.place].text == "[":
            raise UnreadableError(_("Write this root as a power, such as x^(1/3)."), root.start, root.end)

    def _value(self, token: Token) -> Fraction:
        return token.values[min(self.reading, len(token.values) - 1)]

    def _sort(self, ahead: int = 0) -> Sort | None:
        place = self.place + ahead
        return self.tokens[place].sort if place < len(self.tokens) else None

    def _sorts(self, count: int) -> list[Sort]:
        return [token.sort for token in self.tokens[self.place : self.place + count]]

    def _takes(self, *sorts: Sort) -> Sort | None:
        """Move over the next token where it is of one of these sorts."""
        sort = self._sort()
        if sort not in sorts:
            return None
        self.place += 1
        return sort

    def _next(self) -> Token:
        if self.place >= len(self.tokens):
            end = self.tokens[-1].end if self.tokens else 0
            raise UnreadableError(_("The expression is not complete."), end)
        self.place += 1
        return self.tokens[self.place - 1]

    def _deeper(self) -> None:
        self.depth += 1
        if self.depth > DEEPEST:
            start = self.tokens[min(self.place, len(self.tokens) - 1)].start
            raise UnreadableError(_("This is nested too deeply to be read."), start)

    def _unexpected(self, token: Token) -> UnreadableError:
        message = _("Something is missing before “{text}”.").format(text=token.text)
        return UnreadableError(message, token.start, token.end)
