"""Homework sets."""

from django.urls import path

from quizzes.homework import views

urlpatterns = [
    # /classes/<class>/sets/
    path("classes/<uuid:class_id>/sets/new/", views.new_set, name="new_set"),
    # /sets/
    path("sets/<uuid:set_id>/", views.homework_set, name="homework_set"),
    path("sets/<uuid:set_id>/begin/", views.begin, name="begin_set"),
]
