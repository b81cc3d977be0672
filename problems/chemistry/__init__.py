"""Formulas and equations as exact values.

    formula.py      `Formula`: atoms and a charge; the electron is the formula without atoms
    equation.py     `Equation`: two sides, exact coefficients, sums and differences
    medium.py       the same reaction in acid and in base, with H⁺ and with H₃O⁺
    notation.py     a formula or equation as plain text, Unicode, HTML, MathML, and spoken
    balancing.py    whole-number coefficients by exact null space
    oxidation.py    oxidation numbers by rule: parts.py cuts a formula, ladder.py holds the rules
    reading/        what students type, made into the values above

Each imports only those above it; `oxidation.py` names a rule by its code and by a sentence.
"""
