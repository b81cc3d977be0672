"""Homework sets."""

from django.urls import path

from quizzes.homework import marking, views

urlpatterns = [
    # /classes/<class>/
    path("classes/<uuid:class_id>/sets/new/", views.new_set, name="new_set"),
    path("classes/<uuid:class_id>/marks/", marking.marks, name="marks"),
    # /sets/<set>/
    path("sets/<uuid:set_id>/", views.homework_set, name="homework_set"),
    path("sets/<uuid:set_id>/begin/", views.begin, name="begin_set"),
    path("sets/<uuid:set_id>/marks/", marking.set_marks, name="set_marks"),
    # /sets/<set>/students/<student>/
    path("sets/<uuid:set_id>/students/<uuid:student_id>/", marking.set_answers, name="set_answers"),
    path(
        "sets/<uuid:set_id>/students/<uuid:student_id>/answers/<int:number>/ruling/",
        marking.give_ruling,
        name="give_ruling",
    ),
]
