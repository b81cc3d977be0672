"""A school of our own invention, for trying the product: simulated students, the real everything else.

database.py   the demo's own file, marked so that nothing else is ever deleted
school.py     the people, and six weeks of their practice through the same code as the pages
typist.py     what a simulated student types, right or with a typical mistake
"""
