"""The site's database, tables and every middleware of its, before the bare views."""

from quizzes.settings import *  # noqa: F403

ROOT_URLCONF = "tests.load.bare.urls"
