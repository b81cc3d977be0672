"""How gunicorn runs the site: `gunicorn -c python:quizzes.workers quizzes.wsgi`. `serve` does the same.

Every name in lower case is a setting of gunicorn; its command line overrides it.
"""

import os

THREADS_ON_SQLITE = 2  # SQLite's waiting is unfair: with four threads the slowest answers took 0.7 s
THREADS_ON_POSTGRESQL = 4
MOST_WORKERS = 4


def threads_for(engine: str) -> int:
    """Threads of a worker, by the name of the database's engine or the start of its address."""
    return THREADS_ON_POSTGRESQL if "postgres" in engine else THREADS_ON_SQLITE


worker_class = "gthread"
workers = min(os.cpu_count() or 1, MOST_WORKERS)
threads = threads_for(os.environ.get("DATABASE_URL", ""))
# A worker begins anew now and then, at different times, so that nothing can pile up in it for weeks.
max_requests = 50_000
max_requests_jitter = 10_000
keepalive = 5
timeout = 30
loglevel = "warning"
proc_name = "voltameter"
