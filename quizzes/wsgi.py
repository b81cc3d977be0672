"""The entry for a server: `gunicorn quizzes.wsgi`. Refuses to serve without a secret key."""

import os

from django.core.wsgi import get_wsgi_application

from quizzes.environment import check_key

os.environ.setdefault("DJANGO_SETTINGS_MODULE", "quizzes.settings")


def _checked_key() -> None:
    from django.conf import settings

    check_key(settings.SECRET_KEY)


_checked_key()
application = get_wsgi_application()
