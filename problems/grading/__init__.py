"""A typed answer and a key become a verdict; one module or package a kind of answer.

verdict.py      `Verdict`, the one type that every kind returns
codes.py        the codes in the order of their weight, each with its plain-language entry
case.py         one line of the grading contract in, one verdict (or one error) out: `grade`
equations/, formulas.py, quantities/, expressions/, ratios.py, oxidation_numbers.py, choices.py
"""
