"""Fills a fresh database for the benchmark of feedback: run with `manage.py shell`, prints JSON.

One student with two open questions of every step, and the key of each one's first part.
"""

import json

from django.test import Client
from django.utils import timezone

from accounts.models import User
from problems.registry import SKILLS, make_question
from quizzes import runs

student = User.objects.create_user("ines", display_name="Ines")
at = timezone.now()
questions = []
for seed, (name, skill) in enumerate([*SKILLS.items()] * 2):
    made = make_question(name, skill.levels[0], seed)
    run = runs.start_run(student, at, made.setup)
    reason = {"code": "chosen", "topic": made.topic, "chance": [0.5, 0.3, 0.7]}
    question = runs.store(run, 1, made, reason, at)
    key = question.snapshot.parts[0].grading["expected"]
    questions.append({"path": f"/runs/{run.public_id}/", "key": key})
client = Client()
client.force_login(student)
session = next(iter(client.cookies.values()))
print(json.dumps({"cookie": [session.key, session.value], "questions": questions}))
