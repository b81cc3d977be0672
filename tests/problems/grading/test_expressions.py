"""Expressions: the grammar, and equality as algebra checked against sympy's own."""

from fractions import Fraction
from itertools import pairwise

import pytest
import sympy
from hypothesis import given, settings
from hypothesis import strategies as st

from problems.grading.case import grade, prepare
from problems.grading.expressions.grammar import Binding, parse
from problems.grading.expressions.key import ExpressionKey
from problems.grading.expressions.normal import normal_form
from problems.grading.expressions.points import NoValueError, evaluate, points
from problems.grading.expressions.tokens import Symbols, tokens
from problems.grading.expressions.tree import Node, Number, Power, Product, Sum, Symbol, shown, size
from problems.grading.verdict import Verdict
from problems.words import language

NAMES = ("a", "b", "c")
SYMBOLS = Symbols({name: name for name in NAMES})


def read(text: str, binding: Binding = Binding.TIGHT) -> Node:
    return parse(tokens(text, 0, SYMBOLS), binding)


def judge(answer: str, expected: str, symbols: tuple[str, ...] = NAMES, **fields: object) -> Verdict:
    case = {"kind": "expression", "answer": answer, "expected": expected, "symbols": list(symbols)}
    return grade(case | fields)


def to_sympy(node: Node) -> sympy.Expr:
    """The same expression in sympy, which then simplifies it in its own way."""
    match node:
        case Number(value):
            return sympy.Rational(value.numerator, value.denominator)
        case Symbol(name):
            return sympy.Symbol(name, positive=True)
        case Sum(terms):
            return sympy.Add(*(-to_sympy(term) if minus else to_sympy(term) for term, minus in terms))
        case Product(factors):
            return sympy.Mul(
                *(1 / to_sympy(part) if divides else to_sympy(part) for part, divides in factors)
            )
        case Power(base, exponent):
            return sympy.Pow(to_sympy(base), to_sympy(exponent))


@pytest.mark.parametrize(
    ("text", "meaning"),
    [
        ("a b/c", "a·b/c"),
        ("a/b c", "a/(b·c)"),
        ("a/bc", "a/(b·c)"),
        ("a/b*c", "a·c/b"),
        ("a/b/c", "a/(b·c)"),
        ("1/2 a b", "(1/2)·a·b"),
        ("1/2ab/c", "(1/2)·a·b/c"),
        ("1/2*a", "1·a/2"),
        ("a*1/2 b", "a·(1/2)·b"),
        ("a/1/2 b", "a/(1·2·b)"),
        ("1/a b", "1/(a·b)"),
        ("2a^2", "2·a²"),
        ("2a^2b", "2·a²·b"),
        ("a^2^3", "a^(2³)"),
        ("a^-2", "a⁻²"),
        ("-a^2", "−a²"),
        ("a⁻²b", "a⁻²·b"),
        ("√a b", "√a·b"),
        ("√2a", "√2·a"),
        ("√(a b)", "√(a·b)"),
        ("√a^2", "√(a²)"),
        ("a(b+c)", "a·(b + c)"),
        ("(a+b)c", "(a + b)·c"),
        ("a-(b-c)", "a − (b − c)"),
        ("a--b", "a − (−b)"),
        ("\\frac{a}{b}c", "(a/b)·c"),
        ("½a", "(1/2)·a"),
        ("0.125a", "(1/8)·a"),
        ("1e-3 a", "0.001·a"),
        ("[a]{b}(c)", "a·b·c"),
    ],
)
def test_how_an_expression_is_understood(text: str, meaning: str) -> None:
    assert shown(read(text)) == meaning


def test_an_implied_product_can_be_meant_in_several_ways() -> None:
    texts = {binding: shown(read("1/2 a/b c", binding)) for binding in Binding}
    assert texts[Binding.TIGHT] == "(1/2)·a/(b·c)"
    assert texts[Binding.LEFT_TO_RIGHT] == "(1/2)·a·c/b"
    assert texts[Binding.WHOLE_DENOMINATOR] == "1/(2·a·b·c)"
    assert texts[Binding.SPACED] == "(1/2)·a·c/b"
    assert shown(read("1/2a bc/ab c", Binding.SPACED)) == "1·b·c·c/(2·a·a·b)"


def test_the_longest_symbol_is_the_one_meant() -> None:
    key = ExpressionKey.from_case({"expected": "Vm + V m", "symbols": ["V", "m", "Vm"]})
    pieces = tokens("VmV m", 0, key.symbols)
    assert [token.text for token in pieces] == ["Vm", "V", "m"]


numbers = st.builds(
    lambda above, below: Number(Fraction(above, below)), st.integers(1, 20), st.integers(1, 4)
)
leaves = st.one_of(numbers, st.builds(Symbol, st.sampled_from(NAMES)))


def _inner(parts: st.SearchStrategy[Node]) -> st.SearchStrategy[Node]:
    flagged = st.lists(st.tuples(parts, st.booleans()), min_size=2, max_size=3).map(tuple)
    exponents = st.integers(-2, 3).map(lambda whole: Number(Fraction(whole)))
    return st.one_of(st.builds(Sum, flagged), st.builds(Product, flagged), st.builds(Power, parts, exponents))


trees = st.recursive(leaves, _inner, max_leaves=7)


def _written(node: Node) -> str:
    """The tree with every bracket written."""
    match node:
        case Number(value):
            return f"({value.numerator}/{value.denominator})"
        case Symbol(name):
            return name
        case Sum(terms):
            return "(0" + "".join(f"{'-' if minus else '+'}{_written(term)}" for term, minus in terms) + ")"
        case Product(factors):
            return "(1" + "".join(f"{'/' if over else '*'}{_written(part)}" for part, over in factors) + ")"
        case Power(base, exponent):
            return f"({_written(base)}^{_written(exponent)})"


def _latex(node: Node) -> str:
    """The tree as LaTeX: products without a sign, fractions, braces."""
    match node:
        case Number(value):
            return f"\\frac{{{value.numerator}}}{{{value.denominator}}}"
        case Symbol(name):
            return name
        case Sum(terms):
            signed = "".join(f"{'-' if minus else '+'}{_latex(term)}" for term, minus in terms)
            return f"\\left({signed}\\right)"
        case Product(factors):
            above = " ".join(_latex(part) for part, over in factors if not over) or "1"
            below = " ".join(_latex(part) for part, over in factors if over)
            return f"\\frac{{{above}}}{{{below}}}" if below else f"\\left({above}\\right)"
        case Power(base, exponent):
            return f"{{{_latex(base)}}}^{{{_latex(exponent)}}}"


def _value(node: Node) -> sympy.Expr | None:
    expression = sympy.cancel(to_sympy(node))
    return None if expression.has(sympy.zoo, sympy.nan, sympy.oo) else expression


@settings(deadline=None)
@given(trees)
def test_what_is_written_is_what_is_read(node: Node) -> None:
    mine, theirs = _value(read(_written(node))), _value(node)
    assert (mine is None) == (theirs is None)
    assert mine is None or theirs is None or sympy.expand(sympy.numer(sympy.together(mine - theirs))) == 0


@settings(deadline=None)
@given(trees)
def test_latex_and_plain_notation_say_the_same(node: Node) -> None:
    value = _value(node)
    if value is None or value == 0:
        return
    verdict = judge(f"${_latex(node)}$", _written(node))
    assert verdict.verdict == "correct" or "exponents" in verdict.message


@settings(deadline=None)
@given(trees, trees)
def test_equality_and_its_relatives_agree_with_sympy(answer: Node, key: Node) -> None:
    mine, theirs = _value(answer), _value(key)
    if mine is None or theirs is None or theirs == 0:
        return
    verdict = judge(_written(answer), _written(key))
    ratio = sympy.cancel(mine / theirs)
    if verdict.verdict == "unreadable":
        return
    if ratio.is_number and abs(float(ratio) - 1) <= 0.005:
        assert verdict.verdict == "correct"
    elif verdict.codes in (("sign",), ("constant_factor",)):
        assert ratio.is_number
    elif verdict.codes == ("inverted",):
        assert sympy.cancel(mine * theirs).is_number
    elif not mine.free_symbols or ratio.is_number or mine == 0:
        assert verdict.verdict == "wrong"
    else:
        assert verdict.codes == ("off_value",) or _nearly(mine, theirs)


def _nearly(mine: sympy.Expr, theirs: sympy.Expr) -> bool:
    """True for expressions that differ in numbers within half a per cent only."""
    first, second = (
        sympy.Poly(sympy.numer(sympy.together(part)), *sympy.symbols(NAMES, positive=True))
        for part in (mine, theirs)
    )
    return first.monoms() == second.monoms()


@settings(deadline=None)
@given(trees)
def test_the_normal_form_has_the_value_of_the_expression(node: Node) -> None:
    form = normal_form(node, NAMES)
    if form is None or not form.below:
        return
    point = points(NAMES)[0]
    try:
        value = evaluate(node, point)
    except NoValueError:
        return
    above, below = (_at(part, point) for part in (form.above, form.below))
    assert abs(above - value * below) <= abs(below) * max(abs(value), 1) * 1e-25


def _at(polynomial: dict[tuple[int, ...], object], point: dict[str, object]) -> object:
    total = 0
    for powers, number in polynomial.items():
        term = point["a"] ** powers[0] * point["b"] ** powers[1] * point["c"] ** powers[2]
        total = total + term * number.numerator / number.denominator
    return total


def test_points_are_the_same_everywhere_and_keep_symbols_apart() -> None:
    for point in points(("a", "b", "c", "d")):
        assert list(point) == ["a", "b", "c", "d"]
        values = sorted(float(value) for value in point.values())
        assert all(later / sooner > 3 for sooner, later in pairwise(values))
    assert f"{float(points(('a', 'b'))[0]['a']):.6g}" == "6.18658"


@pytest.mark.parametrize("factor", ["0.996", "1.004", "1/1.003", "0.9951"])
def test_numbers_are_equal_within_half_a_per_cent(factor: str) -> None:
    assert judge(f"({factor})*a/b", "a/b").verdict == "correct"
    assert judge(f"({factor})*a + b", "a + b").verdict == "correct"
    assert judge(f"a - ({factor})*b", "a - b").verdict == "correct"


@pytest.mark.parametrize("factor", ["0.994", "1.006", "0.9"])
def test_numbers_further_apart_are_not(factor: str) -> None:
    assert judge(f"({factor})*a/b", "a/b").codes == ("constant_factor",)
    assert judge(f"({factor})*a + b", "a + b").codes == ("off_value",)


def test_a_vanishing_term_is_still_a_term() -> None:
    assert judge("a + b/1000000000000", "a").codes == ("off_value",)
    assert judge("a + 0*b", "a").verdict == "correct"
    assert judge("a + b - b", "a").verdict == "correct"
    assert judge("a*0^0", "a").verdict == "correct"
    assert judge("a + 0.333 b - b/3", "a").codes == ("off_value",)


def test_roots_are_judged_by_the_points_alone() -> None:
    assert judge("√(a^2 + 2 a b + b^2)", "a + b").verdict == "correct"
    assert judge("√(a^2 + b^2)", "a + b").codes == ("off_value",)
    assert judge("-√a √b", "sqrt(a b)").codes == ("sign",)
    assert judge("√(a-b) √(a-b)", "a - b").verdict == "correct"


def test_other_quantities_may_stand_in_an_exponent() -> None:
    assert judge("a^b a^c", "a^(b+c)").verdict == "correct"
    assert judge("a^(b c)", "(a^b)^c").verdict == "correct"
    assert judge("a^b", "b^a").codes == ("off_value",)


@pytest.mark.parametrize(
    ("answer", "position", "length"),
    [
        ("a/(b+c", 2, 1),
        ("a/q", 2, 1),
        ("a + speed", 4, 5),
        ("a/", 2, 0),
        ("a ! b", 2, 1),
        ("c = a*", 6, 0),
        ("a)", 1, 1),
    ],
)
def test_faults_are_pointed_at(answer: str, position: int, length: int) -> None:
    verdict = judge(answer, "a/b")
    assert (verdict.position, verdict.length) == (position, length)


def test_an_unknown_symbol_is_named_with_the_allowed_ones() -> None:
    verdict = judge("a/q", "a/b")
    assert verdict.codes == ("unknown_symbol",)
    assert "“q”" in verdict.message
    assert "a, b, c" in verdict.message


def test_the_factor_is_not_revealed() -> None:
    assert "7" not in judge("a/b", "7*a/b").message


def test_brackets_are_asked_for_in_words() -> None:
    assert "put brackets round the denominator" in judge("a/b c", "a*c/b").message


@pytest.mark.parametrize("names", [["I", "t"], ["E", "e"], ["pi", "S"], ["N", "Q"], ["sin", "O"]])
def test_no_name_has_a_meaning_of_its_own(names: list[str]) -> None:
    """Letters that algebra systems take for the imaginary unit, Euler's number, and the like."""
    first, second = names
    verdict = judge(f"{first}^2 {second}", f"{first}*{first}*{second}", symbols=tuple(names))
    assert verdict.verdict == "correct"
    assert judge(f"-{second}", f"{first}^2*{second}", symbols=tuple(names)).codes == ("off_value",)


def test_one_key_judges_many_answers() -> None:
    key = prepare({"kind": "expression", "expected": "a/b", "symbols": ["a", "b"]})
    assert [key.grade(text).verdict for text in ("a/b", "b/a", "a b^-1", "")] == [
        "correct", "wrong", "correct", "unreadable",
    ]  # fmt: skip


def test_numbers_are_shown_in_the_language_of_the_reader() -> None:
    assert judge("0,12345 a", "a").reading == "0.12345·a"
    with language("de"):
        assert judge("0.12345 a", "a").reading == "0,12345·a"


def test_size_counts_what_stands_in_a_tree() -> None:
    assert size(read("(a+2b)^3/c")) == 5
