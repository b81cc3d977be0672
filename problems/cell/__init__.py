"""One electrolysis cell: from a setup to what a student will see, with reasons.

From the ground up, each module importing only those above it:

- `tables.py` the rows of `problems/data/`; `units.py` texts with units in and out; `names.py` names of things
- `setup.py` `Setup`, read from text with units or from plain numbers; refuses nonsense
- `water.py` vapour pressure, ion product, gas over water; `solution.py` pH by charge balance;
  `transport.py` what the current carries between the arms; `colours.py` indicators and colour words
- `discharge.py` the candidates at each electrode, ranked, with winner, losers and reasons;
  `refusals.py` pairs of solution and electrode that do not work
- `run.py` the run in stages; `arm.py` pH, colour and cloud of an arm at a moment
- `shown.py` the values that come out; `cautions.py` what to mind, and what a cell may be used for;
  `remarks.py` what is seen besides; `fairness.py` what may be asked; `electrode.py` one electrode of a run
- `evidence.py` `evidence(setup)`; `series.py` the same over time;
  `picture.py` the drawing's values and words; `report.py` evidence as JSON and as text
- `making.py` what the cell is filled with; `gas_tests.py` when the gases suffice for their tests
"""
