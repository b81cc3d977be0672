"""What is right in every question that has no number, found another way than the generators find it.

Sources of the tables below: natures of salts and conjugate pairs, Chemistry 2e (OpenStax), 14.1 and 14.4;
what is discharged, the same, 17.7, and `common practice`; order of potentials, the same, appendix L.
"""

import re
from collections import Counter
from fractions import Fraction

import pytest

from problems.cell.tables import indicators
from problems.chemistry.equation import Equation
from problems.chemistry.formula import Formula
from problems.question import Part, Question
from tests.problems.generators.bank import equations_in, plain, questions

ACID = {
    "CuSO4", "CuCl2", "Cu(NO3)2", "ZnSO4", "NiSO4", "(NH4)2SO4", "Al2(SO4)3", "AlCl3", "FeCl3", "Al(NO3)3",
    "ZnCl2",
}  # fmt: skip
BASIC = {"Na2CO3", "NaHCO3", "K2CO3", "Na3PO4", "CH3COONa", "CH3COOK"}
NEUTRAL = {"KNO3", "NaNO3", "NaCl", "KBr", "KI", "KCl", "NaBr", "LiNO3", "NaI"}
# What is made at inert electrodes: (cathode, anode).
PRODUCTS = {
    "NaCl": ("H2", "Cl2"), "HCl": ("H2", "Cl2"), "KBr": ("H2", "Br2"), "KI": ("H2", "I2"),
    "CuSO4": ("Cu", "O2"), "Cu(NO3)2": ("Cu", "O2"), "AgNO3": ("Ag", "O2"), "CuCl2": ("Cu", "Cl2"),
}  # fmt: skip
NOBLE = ["silver", "copper", "tin", "nickel", "iron", "zinc", "magnesium"]
NUMBERS = {
    "H": 1, "K": 1, "Na": 1, "Ag": 1, "Mg": 2, "Zn": 2, "Ni": 2, "Cu": 2, "Al": 3, "O": -2, "Cl": -1,
    "Br": -1, "I": -1, "S": 6, "N": 5, "C": 4,
}  # fmt: skip


def right_texts(part: Part) -> set[str]:
    texts = {option.key: option.text for option in part.options}
    return {texts[key] for key in part.grading["expected"]}


def first(name: str, level: str = "first_year") -> list[tuple[Question, Part]]:
    return [(question, question.parts[0]) for question in questions(name, level)]


def halves(part: Part) -> tuple[Equation, Equation]:
    cathode, anode = equations_in(part.prompt)
    return cathode, anode


def electrons(half: Equation, side: int) -> int:
    return sum(int(n) for species, n in (half.left, half.right)[side] if species.is_electron)


def expected_products(question: Question) -> tuple[str, str]:
    setup = question.setup
    if setup.cathode in ("copper", "silver", "zinc", "nickel") and setup.electrolyte not in ("NaOH", "KOH"):
        metal = {"copper": "Cu", "silver": "Ag", "zinc": "Zn", "nickel": "Ni"}[setup.cathode]
        return metal, metal + "+" if setup.anode == setup.cathode else PRODUCTS[setup.electrolyte][1]
    if setup.anode == "copper":
        return "Cu", "Cu+"
    return PRODUCTS.get(setup.electrolyte, ("H2", "O2"))


def test_half_reactions_make_what_books_say() -> None:
    for question, part in first("redox.half_reaction"):
        key = Equation.parse(part.grading["expected"])
        cathode, anode = expected_products(question)
        at_cathode = "half-reaction at the cathode" in part.prompt
        wanted = cathode if at_cathode else anode
        made = {species.plain for species, _n in key.right}
        assert wanted in made or (
            wanted.endswith("+") and any(each.startswith(wanted[:-1] + "^") for each in made)
        )
        assert (electrons(key, 0) > 0) == at_cathode
        assert key.is_balanced


def test_gases_and_tests() -> None:
    tests = {"H2": "pop", "O2": "glowing splint", "Cl2": "litmus"}
    for question, part in first("reaction_types.gas_test"):
        wanted = expected_products(question)[0 if "at the cathode" in part.prompt else 1]
        assert part.grading["expected"] == [wanted]
        (text,) = right_texts(part)
        assert tests[wanted] in text


def test_what_is_discharged_from_a_table() -> None:
    for question, part in first("redox.discharged_ion", "second_year"):
        cathode, anode = expected_products(question)
        (text,) = right_texts(part)
        wanted = cathode if "at the cathode" in part.prompt else anode
        made = plain(text.partition("→")[2])
        assert wanted.rstrip("+") in made


def test_sums_are_those_of_the_printed_halves() -> None:
    """Added up by counting particles: electrons gone, H+ and OH- paired off."""
    for _question, part in first("balancing.add_and_cancel"):
        cathode, anode = halves(part)
        taken, given = electrons(cathode, 0), electrons(anode, 1)
        total: Counter[str] = Counter()
        for half, times in ((cathode, given), (anode, taken)):
            for side, sign in ((half.left, -1), (half.right, 1)):
                for species, count in side:
                    total[species.plain] += sign * int(count) * times
        assert total.pop("e^-") == 0
        pairs = min(max(total["H^+"], 0), max(total["OH^-"], 0))
        total.update({"H^+": -pairs, "OH^-": -pairs, "H2O": pairs})
        key = Equation.parse(part.grading["expected"])
        net = {species.plain: int(count) for species, count in key.net.items()}
        wanted = {plain_name: count for plain_name, count in total.items() if count}
        factor = Fraction(next(iter(wanted.values())), net[next(iter(wanted))])
        assert wanted == {name: int(count * factor) for name, count in net.items()}


def test_electrons_are_made_equal() -> None:
    for _question, part in first("balancing.equal_electrons"):
        cathode, anode = halves(part)
        one, two = map(int, part.grading["expected"].split(":"))
        if part.prompt.endswith("Anode first."):
            one, two = two, one
        assert one * electrons(cathode, 0) == two * electrons(anode, 1)


def test_gas_ratios_follow_from_the_halves_in_the_solution() -> None:
    for _question, part in first("stoichiometry.gas_ratio"):
        halves_ = [equation for line in part.solution for equation in equations_in(line)]
        gases = [next(n for s, n in half.right if s.plain in ("H2", "O2", "Cl2")) for half in halves_]
        per_electron = [gas / abs(half.electrons) for gas, half in zip(gases, halves_, strict=True)]
        prompt, (one, two) = part.prompt, map(int, part.grading["expected"].split(":"))
        if "electrons" in prompt:
            gas = per_electron[0 if "at the cathode" in prompt else 1]
            wanted = 1 / gas if "electrons first" in prompt else gas
        else:
            wanted = per_electron[0] / per_electron[1]
            wanted = 1 / wanted if "anode first" in prompt else wanted
        assert Fraction(one, two) == wanted


def test_colours_lie_on_the_side_of_the_ion() -> None:
    for question, part in first("acid_base.arm_colour"):
        dye = indicators()[question.setup.indicator or ""]
        (colour,) = right_texts(part)
        at_cathode = "arm of the cathode" in part.prompt
        salt = question.setup.electrolyte
        if salt in ("NaOH", "KOH") or (
            at_cathode and expected_products(question)[0] == "H2" and salt not in ("H2SO4", "HCl")
        ):
            assert colour == dye.colours[-1]
        elif salt in ("H2SO4", "HCl") or expected_products(question)[1] == "O2":
            assert colour != dye.colours[-1] or len(dye.colours) == 1
            assert colour in dye.colours or colour in {step.colour for step in dye.steps}


def test_ions_behind_colours() -> None:
    for question, part in first("acid_base.ion_behind_colour"):
        salt, key = question.setup.electrolyte, part.grading["expected"]
        if "Without any indicator" in part.prompt:
            assert key == {"Cu": "Cu^2+", "Ni": "Ni^2+"}[salt[:2]]
        elif salt in ("NaOH", "KOH", "H2SO4", "HCl"):
            assert key == ("OH^-" if salt.endswith("OH") else "H^+")
        else:
            assert key == ("OH^-" if "arm of the cathode" in part.prompt else "H^+")


def test_indicators_that_show_both_changes() -> None:
    """Three different colours at the printed acid pH, at 7 and at the printed basic pH."""
    for _question, part in first("acid_base.indicator_choice"):
        acid, base = (float(found) for found in re.findall(r"near pH (\d+\.\d)", part.prompt))
        for option in part.options:
            dye = indicators()[option.key.replace("_", " ")]
            shown = [band(dye, ph) for ph in (acid, 7.0, base)]
            assert (len(set(shown)) == 3) == (option.key in part.grading["expected"])


def band(dye: object, ph: float) -> int:
    """In which stretch of the scale a pH lies, counted from the acid end."""
    limits = list(getattr(dye, "cuts", ())) or [x for step in dye.steps for x in (step.low, step.high)]  # type: ignore[attr-defined]
    return sum(ph >= limit for limit in limits)


def test_natures_of_salts() -> None:
    for _question, part in first("acid_base.salt_solution"):
        salt = plain(re.findall(r"(?:solution of|mol/L) (\S+?):? (?:acidic|is that)", part.prompt)[-1])
        (right,) = part.grading["expected"]
        assert {"acidic_cation": ACID, "basic_anion": BASIC, "neutral_ions": NEUTRAL}[right] >= {salt}


def test_hydrolysis_moves_one_proton() -> None:
    for _question, part in first("acid_base.hydrolysis", "second_year"):
        key = Equation.parse(part.grading["expected"])
        made = {species.plain for species, _n in key.right}
        assert ("H3O^+" in made) == ("acidic" in part.prompt)
        assert ("OH^-" in made) == ("basic" in part.prompt)
        assert key.is_balanced


def test_conjugate_partners_differ_by_one_proton() -> None:
    for _question, part in first("acid_base.conjugate", "second_year"):
        match = re.search(r"conjugate (acid|base) of (\S+)\?", part.prompt)
        assert match
        given, key = Formula.parse(plain(match[2])), Formula.parse(part.grading["expected"])
        step = 1 if match[1] == "acid" else -1
        assert key.charge - given.charge == step
        assert Counter(dict(key.atoms)) - Counter(dict(given.atoms)) == (
            Counter("H") if step == 1 else Counter()
        )
        assert Counter(dict(given.atoms)) - Counter(dict(key.atoms)) == (
            Counter() if step == 1 else Counter("H")
        )


def test_mixed_arms() -> None:
    for question, part in first("acid_base.mixed_arms"):
        cathode, anode = expected_products(question)
        wanted = {
            (True, True): "all_water",
            (False, True): "acid_left",
            (True, False): "base_left",
            (False, False): "none_made",
        }[cathode == "H2", anode == "O2"]
        assert part.grading["expected"] == [wanted]


def test_base_forms_differ_from_acid_forms_by_the_ions_of_water() -> None:
    for _question, part in first("balancing.acid_to_base", "second_year"):
        (acid,) = equations_in(part.prompt)
        key = Equation.parse(part.grading["expected"])
        assert key.is_balanced
        assert "H^+" not in {species.plain for species in key.species}
        assert key.electrons == acid.electrons
        rest = {"H^+", "OH^-", "H2O"}
        assert {s.plain: n for s, n in key.net.items() if s.plain not in rest} == {
            s.plain: n for s, n in acid.net.items() if s.plain not in rest
        }


def test_faults_are_what_they_are_called() -> None:
    for question in questions("balancing.find_fault", "first_year"):
        find, mend = question.parts
        (shown,) = equations_in(question.lead.partition("Somebody wrote")[2])
        key = Equation.parse(mend.grading["expected"])
        (code,) = find.grading["expected"]
        bare = {Formula.parse(each) for each in ("H", "O", "Cl", "Br", "I")}
        if shown.species & bare:
            wanted = "not_as_it_exists"
        elif {s for s, _n in shown.left if s.is_electron} != {s for s, _n in key.left if s.is_electron}:
            wanted = "electrons_side"
        elif counts(shown.left) == counts(shown.right):
            wanted = "charges_differ"
        else:
            wanted = "atoms_differ"
        assert code == wanted
        assert shown != key


def counts(side: tuple[tuple[Formula, Fraction], ...]) -> Counter[str]:
    return Counter(
        {s: sum(int(n) * f.count(s) for f, n in side) for s in {e for f, _n in side for e in f.elements}}
    )


def test_electrodes_of_a_driven_cell() -> None:
    for _question, part in first("redox.driven_electrodes"):
        gives = "pop" not in part.prompt and "coat" not in part.prompt and "needles" not in part.prompt
        (text,) = right_texts(part)
        wrong = ("cathode", "negative", "reduction") if gives else ("anode", "positive", "oxidation")
        assert not any(word in text for word in wrong), (part.prompt, text)


def test_electrodes_of_a_cell_that_runs_by_itself() -> None:
    for _question, part in first("redox.spontaneous_electrodes"):
        one, two = re.findall(r"strip of (\w+) in", part.prompt)
        asked = re.findall(r"strip of (\w+)\?", part.prompt)[0]
        noble = asked == min((one, two), key=NOBLE.index)
        (text,) = right_texts(part)
        wrong = ("anode", "negative", "oxidation") if noble else ("cathode", "positive", "reduction")
        assert not any(word in text for word in wrong), (part.prompt, text)


def test_paths() -> None:
    for _question, part in first("redox.paths"):
        if "Which way do electrons go" in part.prompt:
            assert part.grading["expected"] == ["wire_to_cathode"]
        else:
            positive = "⁺" in part.prompt
            assert part.grading["expected"] == ["solution_to_cathode" if positive else "solution_to_anode"]


@pytest.mark.parametrize("name", ["redox.oxidised_reduced", "redox.agents"])
def test_oxidised_reduced_and_agents(name: str) -> None:
    for _question, part in first(name):
        cathode, anode = halves(part)
        gives = "is oxidised?" in part.prompt or "reducing agent?" in part.prompt
        half = anode if gives else cathode
        assert part.grading["expected"] == next(s.plain for s, _n in half.left if not s.is_electron)


@pytest.mark.parametrize("level", ["first_year", "second_year"])
def test_oxidation_numbers_add_up(level: str) -> None:
    for _question, part in first("redox.oxidation_number", level):
        match = re.search(r"number of (\w+) in (\S+)\?", part.prompt)
        assert match
        element, species = match[1], Formula.parse(plain(match[2]))
        numbers = dict(NUMBERS)
        if species.plain == "H2O2":
            numbers["O"] = -1
        if species.plain == "NH3" or "NH4" in species.body:
            numbers["N"] = -3
        if len(species.elements) == 1 and not species.charge:
            numbers = dict.fromkeys(numbers, 0)
        if species.elements == {"C", "O", "H"}:
            numbers["C"] = 4
        assert sum(numbers[each] * count for each, count in species.atoms) == species.charge, species
        assert int(part.grading["expected"]) == numbers[element]


def test_overall_types() -> None:
    for question, part in first("reaction_types.overall_type"):
        cathode, anode = expected_products(question)
        wanted = {("H2", "O2"): "water_decomposed", ("H2", "Cl2"): "halogen_and_hydrogen"}.get(
            (cathode, anode)
        )
        if question.setup.electrolyte in ("HCl", "CuCl2"):
            wanted = "salt_decomposed"
        elif cathode in ("Cu", "Ag"):
            wanted = "metal_and_oxygen"
        assert part.grading["expected"] == [wanted or "halogen_and_hydrogen"]


def test_follow_up_types_show_in_their_equations() -> None:
    for _question, part in first("reaction_types.follow_up_type"):
        (equation,) = [each for line in part.solution for each in equations_in(line)]
        assert part.grading["expected"] == [type_of(equation)]


def type_of(equation: Equation) -> str:
    """By free elements first, then by gases, then by charges that vanish into one product."""

    def elements(side: tuple[tuple[Formula, Fraction], ...]) -> set[str]:
        return {s.plain for s, _n in side if len(s.elements) == 1 and not s.charge}

    left, right = elements(equation.left), elements(equation.right)
    if left and right:
        return "displacement"
    if left:
        return "combination"
    made = {s.plain for s, _n in equation.right}
    if made & {"CO2", "NH3"}:
        return "gas"
    return "neutralisation" if made == {"H2O"} else "precipitation"


def test_driven_and_spontaneous() -> None:
    """By the order of potentials, and by what falls out, neutralises or fizzes."""
    order = ["Mg", "Zn", "Fe", "Ni", "H2", "Cu", "I2", "Ag", "Br2", "Cl2"]
    for _question, part in first("reaction_types.driven"):
        asks_alone = "run by themselves" in part.prompt
        for option in part.options:
            (equation,) = equations_in(option.text)
            free = [
                s.plain for s, _n in (*equation.left, *equation.right) if s.plain in order or s.plain == "O2"
            ]
            if not free or (len(free) == 1 and free != ["H2"]):
                alone = True
            elif "O2" in free or not any(s.plain in order for s, _n in equation.left):
                alone = False
            else:
                goes_in = next(s.plain for s, _n in equation.left if s.plain in order)
                comes_out = next(s.plain for s, _n in equation.right if s.plain in order)
                metal = goes_in not in ("I2", "Br2", "Cl2")
                alone = (order.index(goes_in) < order.index(comes_out)) == metal
            assert (option.key in part.grading["expected"]) == (alone == asks_alone), option.text


@pytest.mark.parametrize("level", ["first_year", "second_year"])
def test_formulas_in_symbols_give_the_right_numbers(level: str) -> None:
    """Put plain numbers in, and go the way in single steps."""
    values = {
        "I": 0.25, "t": 800.0, "F": 96485.0, "R": 8.314, "T": 295.0, "p": 99_000.0, "w": 2_500.0, "M": 63.5,
    }  # fmt: skip
    for _question, part in first("stoichiometry.symbols", level):
        (half,) = equations_in(part.solution[0])
        asked, symbols = part.grading["asked"], part.grading["symbols"]
        z = abs(int(half.electrons)) / next(
            int(n) for s, n in (*half.right, *half.left) if len(s.elements) == 1 and not s.charge and s.atoms
        )
        moles = values["I"] * values["t"] / values["F"] / z
        full = {
            **values,
            "n": moles,
            "m": moles * values["M"],
            "V": moles * values["R"] * values["T"] / (values["p"] - (values["w"] if "w" in symbols else 0.0)),
        }
        code = re.sub(r"(?<=[\w)]) (?=[\w(])", "*", part.grading["expected"])
        assert set(re.findall(r"[A-Za-z]", code)) <= set(symbols)
        assert eval(code, {}, full) == pytest.approx(full[asked], rel=1e-9), part.grading
