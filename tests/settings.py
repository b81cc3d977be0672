"""The site's settings with a cheap hash, a fixed key and plain static files; DATABASE_URL is honoured."""

import os
import tempfile

os.environ.setdefault("SECRET_KEY", "only for tests, only for tests, only for tests, only for tests")
os.environ.setdefault("ALLOWED_HOSTS", "testserver,localhost,127.0.0.1")
os.environ.setdefault("PLAIN_HTTP", "1")
# Kept by name so that it lives as long as the run, and two runs never meet.
FOLDER = tempfile.TemporaryDirectory(prefix="voltameter-tests-", ignore_cleanup_errors=True)
os.environ["DATA_DIR"] = FOLDER.name

from quizzes.settings import *  # noqa: E402, F403
from quizzes.settings import DATA_DIR, DATABASES, STORAGES  # noqa: E402

PASSWORD_HASHERS = ["django.contrib.auth.hashers.MD5PasswordHasher"]
STORAGES = {**STORAGES, "staticfiles": {"BACKEND": "django.contrib.staticfiles.storage.StaticFilesStorage"}}
STATIC_ROOT = DATA_DIR / "static"
STATIC_ROOT.mkdir(parents=True, exist_ok=True)

if DATABASES["default"]["ENGINE"].endswith("sqlite3"):
    # On disk, as where the site is served: in memory, two threads would share one connection.
    DATABASES["default"]["TEST"] = {"NAME": str(DATA_DIR / "test.sqlite3")}
