"""People: users, classes, membership, sign-in; the base page. Imports neither `quizzes` nor `problems`."""
