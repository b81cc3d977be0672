"""Names of things of the cell in the reader's language: materials, electrolytes, gases, products."""

from problems.cell import tables
from problems.chemistry.formula import Formula
from problems.chemistry.notation import as_unicode
from problems.words import _, mark

_PRODUCTS = {
    "H2": mark("hydrogen"),
    "O2": mark("oxygen"),
    "Cl2": mark("chlorine"),
    "Br2": mark("bromine"),
    "I2": mark("iodine"),
    "CO2": mark("carbon dioxide"),
    "NH3": mark("ammonia"),
    "Cu": mark("copper"),
    "Ag": mark("silver"),
    "Zn": mark("zinc"),
    "Ni": mark("nickel"),
    "Sn": mark("tin"),
    "Fe": mark("iron"),
}


def material_name(key: str) -> str:
    """An electrode material, such as "graphite"."""
    return _(key)


def electrolyte_name(key: str) -> str:
    """An electrolyte by its key, such as "potassium nitrate"."""
    return _(tables.electrolytes()[key].name)


def product_name(formula: Formula) -> str:
    """What is made at an electrode: a word where there is one, the formula otherwise."""
    word = _PRODUCTS.get(formula.plain)
    return _(word) if word else as_unicode(formula)


def first_upper(text: str) -> str:
    """The text with a capital at its start, the rest untouched.

    >>> first_upper("copper(II) sulfate")
    'Copper(II) sulfate'
    """
    return text[:1].upper() + text[1:]
