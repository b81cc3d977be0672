"""Homework sets: assigned by a teacher, done by students."""
