"""The site under load, served as a school serves it: `python -m tests.load --help`.

database.py   a database of its own: a SQLite file, or a PostgreSQL cluster on a socket
served.py     gunicorn with the site (or the bare view), its workers' processor time and memory
school.py     classes, students and what they need to know to answer right
browser.py    one HTTP/1.1 client with cookies, over asyncio streams
student.py    a student at work: signs in, types, takes a hint, answers, checks each page
scenes.py     a whole class at once; a school for some minutes
exchange.py   the processor time of an exchange beside that of a bare view
kills.py      answers while workers and the database are killed: none lost, none doubled
figures.py    percentiles and the printed report
"""
