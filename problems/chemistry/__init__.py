"""Formulas and equations as exact values.

    formula.py      `Formula`: atoms and a charge; the electron is the formula without atoms
    equation.py     `Equation`: two sides, exact coefficients, sums and differences
    notation.py     a formula or equation as plain text, Unicode, HTML, MathML, and spoken
    balancing.py    whole-number coefficients by exact null space
    oxidation.py    oxidation numbers by rule
    reading/        what students type, made into the values above
"""
