"""Homework sets."""

from django.urls import path

from quizzes.homework import changing, marking, trying, views

urlpatterns = [
    # /classes/<class>/
    path("classes/<uuid:class_id>/sets/new/", views.new_set, name="new_set"),
    path("classes/<uuid:class_id>/marks/", marking.marks, name="marks"),
    # /sets/<set>/
    path("sets/<uuid:set_id>/", views.homework_set, name="homework_set"),
    path("sets/<uuid:set_id>/change/", changing.change_set, name="change_set"),
    path("sets/<uuid:set_id>/extend/", changing.extend_set, name="extend_set"),
    path("sets/<uuid:set_id>/progress/", views.set_progress, name="set_progress"),
    path("sets/<uuid:set_id>/remind/", views.remind, name="remind"),
    path("sets/<uuid:set_id>/preview/", trying.preview, name="preview_set"),
    path("sets/<uuid:set_id>/try/", trying.try_set, name="try_set"),
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
