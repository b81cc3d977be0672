"""The site's settings with a cheap hash, a fixed key and plain static files; DATABASE_URL is honoured."""

import os
import tempfile

os.environ.setdefault("SECRET_KEY", "only for tests, only for tests, only for tests, only for tests")
os.environ.setdefault("ALLOWED_HOSTS", "testserver,localhost,127.0.0.1")
os.environ.setdefault("PLAIN_HTTP", "1")
os.environ.setdefault("DATA_DIR", os.path.join(tempfile.gettempdir(), f"voltameter-tests-{os.getuid()}"))

from quizzes.settings import *  # noqa: F403
from quizzes.settings import DATA_DIR, STORAGES

PASSWORD_HASHERS = ["django.contrib.auth.hashers.MD5PasswordHasher"]
STORAGES = {**STORAGES, "staticfiles": {"BACKEND": "django.contrib.staticfiles.storage.StaticFilesStorage"}}
STATIC_ROOT = DATA_DIR / "static"
STATIC_ROOT.mkdir(parents=True, exist_ok=True)
