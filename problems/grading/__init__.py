"""A typed answer and a key become a verdict; one module or package a kind of answer.

verdict.py      `Verdict`, the one type that every kind returns
codes.py        the codes in the order of their weight, each with its plain-language entry
case.py         one line of the grading rules in, one verdict (or one error) out: `grade`
fields.py       the fields of a case, read with their types
typed.py        what was typed, cleaned for reading (all kinds but equations and formulas)
numbers.py      numbers in all their notations
names.py        the name of the asked quantity in front of an answer
equations/, formulas.py, quantities/, expressions/, ratios.py, oxidation_numbers.py, choices.py
"""
