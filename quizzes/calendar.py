"""Moments as days, as the steering counts them, and days as people live them."""

from datetime import UTC, date, datetime, timedelta
from zoneinfo import ZoneInfo

EPOCH = datetime(2020, 1, 1, tzinfo=UTC)
DAY = timedelta(days=1)


def day_of(at: datetime) -> float:
    """Days since the start of 2020, UTC."""
    return (at - EPOCH) / DAY


def local_date(at: datetime, zone: str) -> date:
    """The date on the wall calendar of that time zone."""
    return at.astimezone(ZoneInfo(zone)).date()


def day_of_date(date: date) -> float:
    """The start of a date, UTC, as the steering counts days."""
    return day_of(datetime(date.year, date.month, date.day, tzinfo=UTC))
