"""The chemistry: plain values in, plain values out. No Django, no database, no network.

From the ground up, each floor importing only those below it:

    chemistry/    formulas, equations, notation, balancing, oxidation numbers, reading of typed text
    cell/         one electrolysis setup: what is discharged, the evidence over time, the drawing, cautions
    grading/      a typed answer and a key become a verdict; one module or package a kind of answer
    generators/   questions made from a setup and its evidence; one package a topic
    registry.py   the one list of skills

`data/` holds tables, each row with its source; `words.py` the language of every sentence;
`conventions.py` how a class writes things; `errors.py` the common base of errors. Nothing here imports
`quizzes` or `accounts`.
"""
