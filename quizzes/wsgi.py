"""The entry for a server: `gunicorn quizzes.wsgi`. Refuses to serve without a secret key."""

import os

from django.conf import settings
from django.core.exceptions import ImproperlyConfigured
from django.core.wsgi import get_wsgi_application

from quizzes.environment import check_key

os.environ.setdefault("DJANGO_SETTINGS_MODULE", "quizzes.settings")


def _key() -> str:
    try:
        return settings.SECRET_KEY
    except ImproperlyConfigured:
        return ""


check_key(_key())
application = get_wsgi_application()
