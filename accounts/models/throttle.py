"""The throttle of sign-in and join words: wrong tries make the next one wait, and never lock anyone out.

Kept by account and by address, both as keyed digests, so the table names nobody.
"""

from __future__ import annotations

from datetime import datetime, timedelta

from django.db import models, transaction
from django.utils.crypto import salted_hmac

FREE_TRIES = 3
LONGEST_WAIT = 60  # s
# One school shares one address: thirty students who each mistype a few times stay far below.
ADDRESS_TRIES = 200
ADDRESS_PERIOD = timedelta(minutes=10)
KEPT = timedelta(hours=24)


class SignInThrottleQuerySet(models.QuerySet["SignInThrottle"]):
    def claim(self, account: str, address: str, at: datetime) -> float:
        """Count a try before it is judged; the seconds to wait where it may not be judged yet, else 0.

        Counting first keeps tries sent all at once from slipping through together.
        """
        self.filter(last_at__lt=at - KEPT).delete()
        with transaction.atomic():
            row = self._locked(digest("account", account), at)
            wait = max(row.wait_until - at, self.address_wait(address, at)).total_seconds()
            if wait > 0:
                return wait
            row.count_try(at)
        return 0.0

    def failed(self, address: str, at: datetime) -> None:
        with transaction.atomic():
            row = self._locked(digest("address", address), at)
            if at >= row.wait_until:
                row.tries = 0
                row.wait_until = at + ADDRESS_PERIOD
            row.tries += 1
            row.last_at = at
            row.save()

    def address_wait(self, address: str, at: datetime) -> timedelta:
        """Time left of a period in which the address has had far too many wrong tries, else nothing."""
        row = self.filter(key=digest("address", address), tries__gte=ADDRESS_TRIES).first()
        return max(row.wait_until - at, timedelta(0)) if row else timedelta(0)

    def forgive(self, account: str) -> None:
        """After a right password, and when a teacher resets one."""
        self.filter(key=digest("account", account)).delete()

    def _locked(self, key: str, at: datetime) -> SignInThrottle:
        self.get_or_create(key=key, defaults={"last_at": at, "wait_until": at})
        return self.select_for_update().get(key=key)


class SignInThrottle(models.Model):
    key = models.CharField(max_length=64, unique=True)
    tries = models.PositiveIntegerField(default=0)
    # For an account the end of its wait, for an address the end of the period that is counted.
    wait_until = models.DateTimeField()
    last_at = models.DateTimeField(db_index=True)

    objects = SignInThrottleQuerySet.as_manager()

    def __str__(self) -> str:
        return f"{self.tries} tries until {self.last_at:%Y-%m-%d %H:%M}"

    def count_try(self, at: datetime) -> None:
        self.tries += 1
        self.last_at = at
        self.wait_until = at + wait_after(self.tries)
        self.save()


def wait_after(tries: int) -> timedelta:
    """None after the first three, then 1 s, 2 s, 4 s … up to a minute."""
    if tries <= FREE_TRIES:
        return timedelta(0)
    return timedelta(seconds=min(2.0 ** min(tries - FREE_TRIES - 1, 10), LONGEST_WAIT))


def digest(kind: str, value: str) -> str:
    return salted_hmac(f"accounts.throttle.{kind}", value, algorithm="sha256").hexdigest()
