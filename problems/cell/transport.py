"""What the current carries through the plug between the arms.

Positive ions leave the anode arm, negative ions leave the cathode arm, each with the share of the current
that its conductivity and its concentration give it. What hydrogen and hydroxide ions carry need not be
counted: the charge balance of each arm accounts for it.
"""

from collections.abc import Mapping
from math import exp

from problems.cell import tables
from problems.cell.solution import parts
from problems.chemistry.formula import Formula

LARGE_PART = 0.25
Content = dict[str, float]
Ions = Mapping[Formula, float]


def shares(cathode: Ions, anode: Ions) -> dict[Formula, float]:
    """The share of the current that each ion carries (its transport number), from concentrations [mol/L].

    `cathode` and `anode` are the ions of the two arms. Source: molar conductivities of `ions.toml`, taken
    as constant, so that the shares hold for dilute solutions.

    >>> potassium, nitrate = Formula.parse("K^+"), Formula.parse("NO3^-")
    >>> round(shares({nitrate: 0.1}, {potassium: 0.1})[potassium], 2)
    0.51
    """
    known = tables.ions()
    weights = {
        ion: ion.charge * amount * known[ion].conductivity for ion, amount in anode.items() if ion.charge > 0
    }
    weights |= {
        ion: -ion.charge * amount * known[ion].conductivity
        for ion, amount in cathode.items()
        if ion.charge < 0
    }
    total = sum(weights.values())
    return {ion: weight / total for ion, weight in weights.items()}


def carry(
    electrons: float, cathode: Content, anode: Content, cathode_ions: Ions, anode_ions: Ions, litres: float
) -> None:
    """Move the parts [mol] of both arms as `electrons` [mol] pass; `litres` is the volume of one arm [L].

    An ion never runs below nothing: where a step would take much of it, its amount falls exponentially.
    """
    shared = shares(cathode_ions, anode_ions)
    for source, target, ions, sign in ((anode, cathode, anode_ions, 1), (cathode, anode, cathode_ions, -1)):
        for name in source:
            moved = 0.0
            for ion in parts()[name].ions:
                charge = ion.formula.charge * sign
                there = ions.get(ion.formula, 0.0) * litres
                if charge > 0 and there > 0:
                    moved += _left(electrons * shared[ion.formula] / charge, there)
            if moved:
                source[name] -= moved
                target[name] = target.get(name, 0.0) + moved


def _left(wanted: float, there: float) -> float:
    """How much of `there` [mol] leaves an arm when its share of the current is worth `wanted` [mol].

    Exactly that much as long as it is a small part: only then do the ions carry the whole current, and no
    acid or base appears that nobody made.
    """
    return wanted if wanted < LARGE_PART * there else there * (1 - exp(-wanted / there))
