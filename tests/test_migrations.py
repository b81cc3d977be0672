"""No change of a model without its migration."""

from io import StringIO

import pytest
from django.core.management import call_command


@pytest.mark.django_db
def test_no_migration_is_pending() -> None:
    call_command("makemigrations", check=True, dry_run=True, stdout=StringIO())
