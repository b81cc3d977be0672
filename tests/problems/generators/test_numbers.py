"""Every numeric key again by plain arithmetic from the setup and the printed question, another way round.

Nothing of the generators is called here. Constants: CODATA 2018, exact. Molar masses: IUPAC conventional
atomic weights (2021), typed in below. Vapour pressures: the value printed in the question, and that one
against the standard of the IAPWS.
"""

import re
from collections.abc import Callable
from math import log10

import pytest

from problems.question import Part, Question
from problems.words import number
from tests.problems.generators.bank import NUMERIC, PAIRS, parts, questions

FARADAY = 96485.33212  # C/mol
GAS = 8.314462618  # J/(mol K)
AVOGADRO_CHARGE = 1.602e-19  # C, as printed
WEIGHTS = {
    "H": 1.008, "C": 12.011, "N": 14.007, "O": 15.999, "Na": 22.990, "Mg": 24.305, "Al": 26.982,
    "S": 32.06, "Cl": 35.45, "K": 39.098, "Ni": 58.693, "Cu": 63.546, "Zn": 65.38, "Br": 79.904,
    "Ag": 107.868, "I": 126.904,
}  # fmt: skip
ELECTRONS = {"hydrogen": 2, "oxygen": 4, "chlorine": 2, "copper": 2, "silver": 1, "zinc": 2, "nickel": 2}
SYMBOLS = {"copper": "Cu", "silver": "Ag", "zinc": "Zn", "nickel": "Ni"}
NUMBER = r"(−?\d+(?:\.\d+)?(?: × 10[⁺⁻⁰¹²³⁴⁵⁶⁷⁸⁹]+)?)"
RAISED = {raised: plain for plain, raised in zip("+-0123456789", "⁺⁻⁰¹²³⁴⁵⁶⁷⁸⁹", strict=True)}


def value(text: str) -> float:
    """A printed number: 0.0125, −0.41, 6.02 × 10²³."""
    digits, _times, power = text.replace("−", "-").partition(" × 10")
    return float(digits) * 10 ** int("".join(RAISED[sign] for sign in power) or 0)


def found(pattern: str, question: Question) -> float:
    match = re.search(pattern.replace("#", NUMBER), question.prompt)
    assert match, (pattern, question.prompt)
    return value(match[1])


def word(question: Question, words: dict[str, int]) -> str:
    """The substance asked about: the last of the known words in the question's own text."""
    text = question.parts[0].prompt
    return max((each for each in words if each in text), key=text.rfind)


def coulombs(question: Question) -> float:
    """The charge, from what the question prints and not from the setup's own numbers."""
    minutes = found(r"for # min at", question)
    return found(r"# A flows", question) * minutes * 60


def kelvin(question: Question) -> float:
    return found(r"at # °C and", question) + 273.15


def pascals(question: Question) -> float:
    return found(r"°C and # kPa", question) * 1000


def moles(question: Question) -> float:
    return coulombs(question) / FARADAY / ELECTRONS[word(question, ELECTRONS)]


def litres_of(amount: float, question: Question, pressure: float) -> float:
    return amount * GAS * kelvin(question) / pressure * 1000


def mass(formula: str) -> float:
    """The molar mass [g/mol] of a plain formula with brackets and one hydrate point."""
    body, _point, water = formula.partition(".")
    while "(" in body:
        body = re.sub(r"\(([^()]*)\)(\d*)", lambda m: m[1] * int(m[2] or 1), body)
    total = sum(
        WEIGHTS[symbol] * int(count or 1) for symbol, count in re.findall(r"([A-Z][a-z]?)(\d*)", body)
    )
    units = int(re.match(r"\d*", water)[0] or 1) if water else 0  # type: ignore[index]
    return total + units * (2 * WEIGHTS["H"] + WEIGHTS["O"])


def electrons(question: Question) -> float:
    return coulombs(question) / FARADAY


def dry_volume(question: Question) -> float:
    return litres_of(moles(question), question, pascals(question)) * 1000


def wet_volume(question: Question) -> float:
    vapour = found(r"vapour pressure of water is # kPa", question) * 1000
    return litres_of(moles(question), question, pascals(question) - vapour) * 1000


def grams(question: Question) -> float:
    return moles(question) * WEIGHTS[SYMBOLS[word(question, ELECTRONS)]]


def minutes_needed(question: Question) -> float:
    wanted = found(r"# mmol", question) / 1000
    return wanted * ELECTRONS[word(question, ELECTRONS)] * FARADAY / found(r"# A flows", question) / 60


def amperes_needed(question: Question) -> float:
    wanted = found(r"# mmol", question) / 1000
    seconds = found(r"for # min at", question) * 60
    return wanted * ELECTRONS[word(question, ELECTRONS)] * FARADAY / seconds


def molarity(question: Question) -> float:
    return found(r"holds # mol/L", question)


def weighed(question: Question) -> float:
    return molarity(question) * found(r"for # mL of this", question) / 1000 * mass(question.setup.electrolyte)


def hydrate(question: Question) -> float:
    hydrates = {
        "CuSO₄·5H₂O": "CuSO4.5H2O", "CuCl₂·2H₂O": "CuCl2.2H2O", "Cu(NO₃)₂·3H₂O": "Cu(NO3)2.3H2O",
        "ZnSO₄·7H₂O": "ZnSO4.7H2O", "NiSO₄·6H₂O": "NiSO4.6H2O", "NiSO₄·7H₂O": "NiSO4.7H2O",
        "MgSO₄·7H₂O": "MgSO4.7H2O", "Na₂SO₄·10H₂O": "Na2SO4.10H2O", "Na₂CO₃·10H₂O": "Na2CO3.10H2O",
        "Al₂(SO₄)₃·18H₂O": "Al2(SO4)3.18H2O",
    }  # fmt: skip
    solid = next(plain for shown, plain in hydrates.items() if f"holds {shown}." in question.prompt)
    return molarity(question) * found(r"for # mL of this", question) / 1000 * mass(solid)


def stock(question: Question) -> float:
    return molarity(question) * found(r"to # mL of this", question) / found(r"a # mol/L stock", question)


def measured_moles(question: Question) -> float:
    if "became heavier" in question.prompt:
        return found(r"heavier by # g", question) / WEIGHTS[SYMBOLS[word(question, ELECTRONS)]]
    return pascals(question) * found(r"dried, # mL", question) * 1e-6 / (GAS * kelvin(question))


def percent(question: Question) -> float:
    return 100 * measured_moles(question) / moles(question)


def faraday(question: Question) -> float:
    return coulombs(question) / (measured_moles(question) * ELECTRONS[word(question, ELECTRONS)])


def avogadro(question: Question) -> float:
    return faraday(question) / AVOGADRO_CHARGE


def neutralised(question: Question) -> float:
    return coulombs(question) / FARADAY / found(r"volume of # mol/L", question) * 1000


def joules(question: Question) -> float:
    return coulombs(question) * found(r"cell is # V", question)


def conversion(question: Question) -> float:
    """The pH or concentration asked for; the other ion by way of the product 10^-14."""
    text = question.parts[0].prompt
    if "What is its pH" in text:
        level = found(r"\) = # mol/L. What", question)
        return -log10(level) if "c(H⁺) =" in text else -log10(1e-14 / level)
    level = 10 ** -found(r"has pH #\. What", question)
    return level if "c(H⁺)?" in text else 1e-14 / level


def arm_ph(question: Question) -> float:
    """Amounts of acid minus base in the arm, then the concentration of what is left over."""
    litres = found(r"arm holds # mL", question) / 1000
    sign = 1 if "arm of the anode" in question.parts[0].prompt else -1
    salt = question.setup.electrolyte
    own = {"NaOH": -1, "KOH": -1, "H2SO4": 2, "HCl": 1}.get(salt, 0) * molarity(question) * litres
    level = (own + sign * coulombs(question) / FARADAY) / litres
    exponent = found(r"pKw = (\d+\.\d+)", question)
    diluted = re.search(rf"At the end {NUMBER} mL .* diluted to {NUMBER} mL", question.prompt)
    level *= value(diluted[1]) / value(diluted[2]) if diluted else 1
    return -log10(level) if level > 0 else exponent + log10(-level)


def volts(question: Question) -> float:
    """Nernst from the printed table: each ion on the oxidised side raises, on the reduced side lowers."""
    table = question.prompt.partition("Standard potentials: ")[2].partition(" What is")[0].rstrip(".")
    ph = found(r"is at pH #;", question)
    low, high = (potential(row, ph, question) for row in table.split("; "))
    return high - low


IONS = {"Cl⁻": {"NaCl": 1, "CuCl2": 2}, "Br⁻": {"KBr": 1}, "I⁻": {"KI": 1}, "Cu²⁺": {}, "Ag⁺": {}}


def potential(row: str, ph: float, question: Question) -> float:
    equation, volt = re.fullmatch(rf"(.*?) (?:\+(?=\d))?{NUMBER} V", row).groups()  # type: ignore[union-attr]
    left, right = equation.split(" → ")
    count = re.search(r"(\d*) ?e⁻", left)
    assert count
    total = value(volt)
    for side, sign in ((left, 1), (right, -1)):
        for term in side.split(" + "):
            number, _space, species = term.rpartition(" ")
            times = int(number or 1) * sign * 0.0592 / int(count[1] or 1)
            if species == "H⁺":
                total -= times * ph
            elif species in IONS:
                per_unit = IONS[species].get(question.setup.electrolyte, 1)
                total += times * log10(per_unit * molarity(question))
    return total


ROUTES: dict[str, Callable[[Question], float]] = {
    "stoichiometry.electrons": electrons,
    "stoichiometry.product_amount": moles,
    "stoichiometry.gas_volume": dry_volume,
    "stoichiometry.gas_over_water": wet_volume,
    "stoichiometry.deposit": grams,
    "stoichiometry.dissolved": grams,
    "stoichiometry.time_needed": minutes_needed,
    "stoichiometry.current_needed": amperes_needed,
    "stoichiometry.weighing": weighed,
    "stoichiometry.hydrate": hydrate,
    "stoichiometry.dilution": stock,
    "stoichiometry.yield": percent,
    "stoichiometry.faraday_constant": faraday,
    "stoichiometry.avogadro_constant": avogadro,
    "acid_base.neutralising": neutralised,
    "acid_base.ph_conversion": conversion,
    "acid_base.arm_ph": arm_ph,
    "redox.least_voltage": volts,
    "redox.gibbs_energy": joules,
}
CASES = [pair for pair in PAIRS if pair[0] in ROUTES]


def expected(part: Part) -> float:
    return float(part.grading["expected"].split(" ")[0])


@pytest.mark.parametrize(("name", "level"), CASES)
def test_the_key_comes_out_by_another_route(name: str, level: str) -> None:
    for question in questions(name, level):
        (part,) = question.parts
        right = ROUTES[name](question)
        if part.grading["unit"] == "pH":
            assert expected(part) == pytest.approx(right, abs=0.002), question.prompt
        else:
            figures = 0.05 if part.grading["figures"] == 2 else 1.2e-3
            assert expected(part) == pytest.approx(right, rel=figures), question.prompt


@pytest.mark.parametrize(("name", "level"), CASES)
def test_the_solution_ends_with_the_number_of_the_key(name: str, level: str) -> None:
    for part in parts(name, level):
        numbers = re.findall(NUMBER, part.solution[-1])
        right = expected(part)
        near = 0.06 if part.grading["unit"] == "pH" else 0.006 * abs(right)
        assert any(abs(value(each) - right) <= near for each in numbers), (part.solution[-1], part.grading)


def test_every_numeric_skill_has_another_route() -> None:
    assert {name for name, _level in NUMERIC} - ROUTES.keys() == {"stoichiometry.whole_chain"}


def test_vapour_pressures_in_questions_are_those_of_the_handbook() -> None:
    """IAPWS R6-95 (2018), saturation pressures of water at 18, 20, 22 and 25 °C."""
    table = {18.0: 2.064, 20.0: 2.339, 22.0: 2.645, 25.0: 3.170}
    seen = 0
    for question in questions("stoichiometry.gas_over_water", "second_year"):
        celsius = round(question.setup.temperature - 273.15, 1)
        if celsius in table:
            printed = found(r"vapour pressure of water is # kPa", question)
            assert printed == pytest.approx(table[celsius], abs=0.006)
            seen += 1
    assert seen >= 5


@pytest.mark.parametrize("right", [6.02e23, -0.41, 0.0125, 1.602e-19])
def test_printed_numbers_are_read_back(right: float) -> None:
    assert value(number(right, 4)) == pytest.approx(right)
