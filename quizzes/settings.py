"""Settings of the site. What differs from place to place comes from the environment:

SECRET_KEY      at least 50 random characters; needed where the site is served
ALLOWED_HOSTS   host names of the site, separated by commas
DATABASE_URL    empty for a SQLite file in the data folder, or sqlite:///… or postgres://…
DATA_DIR        the data folder (database, key, collected files); `.data` beside manage.py by default
OPEN_REGISTRATION  1 where any teacher may make an account; else by invitation only
PLAIN_HTTP      1 where readers come over plain HTTP (one classroom, one laptop)
BEHIND_PROXY    1 where a proxy ends HTTPS and sets X-Forwarded-Proto and X-Forwarded-For
TIME_ZONE       as in Europe/Madrid; UTC by default
KEEP_ANSWERS_DAYS  how long answers are kept, 400 days by default; see `manage.py purge`
KEEP_SIGN_IN_DAYS  how long traces of signing in and inviting are kept, 30 by default
KEEP_LOOKS_DAYS    how long it is kept who looked at whose data, 400 by default
KEEP_BACKUPS       how many backups are kept in DATA_DIR/backups, 14 by default
DEBUG           1 for development only
"""

import os
import zoneinfo
from pathlib import Path

from quizzes import environment

# The steering multiplies matrices of a few dozen rows: more threads only wait for each other, and one
# gives the same bits every time. It has to be said before numpy is first imported.
os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")

BASE_DIR = Path(__file__).resolve().parent.parent
DATA_DIR = Path(os.environ.get("DATA_DIR") or BASE_DIR / ".data")

DEBUG = environment.flag("DEBUG")
SECRET_KEY = os.environ.get("SECRET_KEY", "")
ALLOWED_HOSTS = environment.hosts("ALLOWED_HOSTS")
BEHIND_PROXY = environment.flag("BEHIND_PROXY")
OPEN_REGISTRATION = environment.flag("OPEN_REGISTRATION")
SECURE_PROXY_SSL_HEADER = ("HTTP_X_FORWARDED_PROTO", "https") if BEHIND_PROXY else None
globals().update(environment.transport(https=not environment.flag("PLAIN_HTTP", default=DEBUG)))

INSTALLED_APPS = [
    "quizzes",
    "accounts",
    "problems",
    "django.contrib.auth",
    "django.contrib.contenttypes",
    "django.contrib.sessions",
    "django.contrib.messages",
    "django.contrib.staticfiles",
    "django_htmx",
]
MIDDLEWARE = [
    "django.middleware.security.SecurityMiddleware",
    "quizzes.middleware.SecurityHeadersMiddleware",
    "quizzes.middleware.ReadableFormsMiddleware",
    "whitenoise.middleware.WhiteNoiseMiddleware",
    "django.contrib.sessions.middleware.SessionMiddleware",
    "django.middleware.locale.LocaleMiddleware",
    "django.middleware.common.CommonMiddleware",
    "django.middleware.csrf.CsrfViewMiddleware",
    "django.contrib.auth.middleware.AuthenticationMiddleware",
    "django_htmx.middleware.HtmxMiddleware",
    "quizzes.middleware.HtmxSignInMiddleware",
    "django.contrib.auth.middleware.LoginRequiredMiddleware",
    "quizzes.middleware.ReaderMiddleware",
    "quizzes.upkeep.looks.LooksMiddleware",
    "django.contrib.messages.middleware.MessageMiddleware",
    "django.middleware.clickjacking.XFrameOptionsMiddleware",
]
ROOT_URLCONF = "quizzes.urls"
WSGI_APPLICATION = "quizzes.wsgi.application"
TEMPLATES = [
    {
        "BACKEND": "django.template.backends.django.DjangoTemplates",
        "APP_DIRS": True,
        "OPTIONS": {
            "context_processors": [
                "django.template.context_processors.request",
                "django.contrib.auth.context_processors.auth",
                "django.contrib.messages.context_processors.messages",
            ]
        },
    }
]

DATABASES = {"default": environment.database(os.environ.get("DATABASE_URL", ""), DATA_DIR)}
DEFAULT_AUTO_FIELD = "django.db.models.BigAutoField"

AUTH_USER_MODEL = "accounts.User"
LOGIN_URL = "accounts:sign_in"
LOGIN_REDIRECT_URL = "/"
LOGOUT_REDIRECT_URL = "accounts:sign_in"
AUTHENTICATION_BACKENDS = ["accounts.backends.AccountBackend"]
SESSION_ENGINE = "accounts.sessions"
PASSWORD_HASHERS = ["accounts.hashers.SchoolArgon2PasswordHasher"]
AUTH_PASSWORD_VALIDATORS = [
    {
        "NAME": "django.contrib.auth.password_validation.UserAttributeSimilarityValidator",
        "OPTIONS": {"user_attributes": ["username", "display_name"]},
    },
    {"NAME": "django.contrib.auth.password_validation.MinimumLengthValidator", "OPTIONS": {"min_length": 10}},
    {"NAME": "django.contrib.auth.password_validation.CommonPasswordValidator"},
    {"NAME": "django.contrib.auth.password_validation.NumericPasswordValidator"},
]
SESSION_COOKIE_AGE = 14 * 24 * 3600
SESSION_EXPIRE_AT_BROWSER_CLOSE = True  # a school's computers are shared
SESSION_COOKIE_SAMESITE = "Lax"
CSRF_COOKIE_HTTPONLY = True

SECURE_REFERRER_POLICY = "same-origin"
SECURE_CROSS_ORIGIN_OPENER_POLICY = "same-origin"
X_FRAME_OPTIONS = "DENY"
SECURE_REDIRECT_EXEMPT = [r"^health/$"]  # asked by the machine itself, over plain HTTP
SECURE_CSP = {
    "default-src": ["'none'"],
    "script-src": ["'self'"],
    "style-src": ["'self'"],
    "img-src": ["'self'", "data:"],
    "connect-src": ["'self'"],
    "form-action": ["'self'"],
    "frame-ancestors": ["'none'"],
    "base-uri": ["'none'"],
}

# A roster of 500 is 50 kB; nothing a person types or uploads here is larger than this.
DATA_UPLOAD_MAX_MEMORY_SIZE = 1_000_000
FILE_UPLOAD_MAX_MEMORY_SIZE = 1_000_000
DATA_UPLOAD_MAX_NUMBER_FIELDS = 500
DATA_UPLOAD_MAX_NUMBER_FILES = 2

KEEP_ANSWERS_DAYS = environment.whole("KEEP_ANSWERS_DAYS", default=400)
KEEP_SIGN_IN_DAYS = environment.whole("KEEP_SIGN_IN_DAYS", default=30)
KEEP_LOOKS_DAYS = environment.whole("KEEP_LOOKS_DAYS", default=400)
KEEP_BACKUPS = environment.whole("KEEP_BACKUPS", default=14)

LANGUAGE_CODE = "en"
LANGUAGES = [("en", "English"), ("de", "Deutsch")]  # each in its own words
LANGUAGE_COOKIE_SAMESITE = "Lax"
LANGUAGE_COOKIE_HTTPONLY = True
USE_I18N = True
USE_TZ = True
TIME_ZONE = os.environ.get("TIME_ZONE", "UTC")
if TIME_ZONE not in zoneinfo.available_timezones():
    raise environment.SettingRefused("TIME_ZONE", f"is {TIME_ZONE!r}, which is no known time zone.")

STATIC_URL = "static/"
STATIC_ROOT = DATA_DIR / "static"
STORAGES = {
    "default": {"BACKEND": "django.core.files.storage.FileSystemStorage"},
    "staticfiles": {"BACKEND": "whitenoise.storage.CompressedManifestStaticFilesStorage"},
}

LOGGING = {
    "version": 1,
    "disable_existing_loggers": False,
    "formatters": {"line": {"()": "quizzes.logs.LineFormatter"}},
    "handlers": {"stderr": {"class": "logging.StreamHandler", "formatter": "line"}},
    "root": {"handlers": ["stderr"], "level": "INFO"},
    # Django's own handlers would mail a report with the submitted form to the site's keepers.
    "loggers": {"django": {"handlers": [], "level": "INFO", "propagate": True}},
}
