"""One electrolysis cell: from a setup to what a student will see, with reasons.

    setup.py        `Setup`, read from text with units or from plain numbers; refuses nonsense
    discharge.py    the candidates at each electrode, ranked, with winner, losers and reasons
    evidence.py     `evidence(setup)`: charge, gases, deposits, pH and colours, over time
    picture.py      the evidence at one minute as a drawing's values, and its words
    cautions.py     what to mind with this setup, and what it may be used for
"""
