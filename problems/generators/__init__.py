"""Questions made from a setup and its evidence: one package a topic, one module a skill or close family.

    setups.py     which cells are proposed, and one on which a given skill can be asked
    build.py      the parts of a question, each kind of answer in its own function
    conventional.py  evidence and keys as a class writes them
    say.py        phrases that many questions share: the cell in a sentence, numbers with units
    reaction_types/, acid_base/, balancing/, redox/, stoichiometry/

Each module ends with `SKILLS`. A generator takes everything it needs from the setup and its evidence,
draws what is left to chance from the `Random` it is given, and asks only what the evidence calls fair.
Nothing here imports `problems.registry`.
"""
