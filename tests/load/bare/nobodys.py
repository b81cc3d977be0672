"""The site's database and tables, and the one middleware that says how long a page is."""

from quizzes.settings import *  # noqa: F403

ROOT_URLCONF = "tests.load.bare.urls"
MIDDLEWARE = ["django.middleware.common.CommonMiddleware"]
