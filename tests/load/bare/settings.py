"""The site's database and tables, one view, and no middleware at all."""

from quizzes.settings import *  # noqa: F403

ROOT_URLCONF = "tests.load.bare.urls"
MIDDLEWARE: list[str] = []
