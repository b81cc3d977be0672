"""How gunicorn runs the site: `gunicorn -c python:quizzes.workers quizzes.wsgi`. `serve` does the same.

Every name in lower case is a setting of gunicorn; its command line overrides it.
"""

import os

MOST_WORKERS = 4

worker_class = "gthread"
workers = min(os.cpu_count() or 1, MOST_WORKERS)
# Four took longer for a class at once on either database, and each keeps memory of its own.
threads = 2
# A worker begins anew now and then, at different times, so that nothing can pile up in it for weeks.
max_requests = 50_000
max_requests_jitter = 10_000
keepalive = 5
timeout = 30
loglevel = "warning"
proc_name = "voltameter"
