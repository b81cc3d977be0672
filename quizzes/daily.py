"""What one machine that serves a school does by itself once a day, beside its workers."""

from __future__ import annotations

import logging
import os
import threading
import time
from collections.abc import Callable
from contextlib import suppress

from django.db import DatabaseError, connections
from django.utils import timezone

from quizzes.calibration import calibrate, is_due, judge_all_anew

BETWEEN_LOOKS = 3600  # s; a laptop may be open in lessons only, so there is no fixed hour
FIRST_LOOK = 60  # s after the start, when a class has signed in
NICENESS = 10

logger = logging.getLogger(__name__)


def start() -> None:
    """Look after the calibration in a process of its own, which ends with this one.

    Not by `multiprocessing`: any worker that ended would end it too, being a fork of the same parent.
    """
    server = os.getpid()
    if not hasattr(os, "fork"):
        threading.Thread(target=_watch, args=[lambda: True], name="daily", daemon=True).start()
    elif os.fork() == 0:
        try:
            with suppress(KeyboardInterrupt):
                _watch(lambda: os.getppid() == server)
        finally:
            os._exit(0)


def _watch(goes_on: Callable[[], bool]) -> None:
    """Look now and then for as long as the server `goes_on`."""
    with suppress(AttributeError, OSError):
        os.nice(NICENESS)
    wait = FIRST_LOOK
    while _sleep(wait, goes_on):
        look()
        connections.close_all()
        wait = BETWEEN_LOOKS


def _sleep(seconds: int, goes_on: Callable[[], bool]) -> bool:
    """Wait in short steps; False as soon as the server is gone."""
    for _ in range(seconds):
        if not goes_on():
            return False
        time.sleep(1)
    return goes_on()


def look() -> bool:
    """Calibrate if it is due; True where it was. A database that is away now is asked again later."""
    now = timezone.now()
    try:
        if not is_due(now) or calibrate(now).refused:
            return False
        students = judge_all_anew()
    except DatabaseError as error:
        logger.warning("calibration put off: %s", type(error).__name__)
        return False
    logger.info("calibrated: %d students judged anew", students)
    return True
