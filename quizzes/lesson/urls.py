"""What is taken into the lesson."""

from django.urls import path

from quizzes.lesson import live, paper, views, wall

urlpatterns = [
    # /sets/<set>/
    path("sets/<uuid:set_id>/paper/", paper.set_sheet, name="set_sheet"),
    path("sets/<uuid:set_id>/paper/key/", paper.set_key, name="set_key"),
    # /classes/<class>/lesson/
    path("classes/<uuid:class_id>/lesson/", views.lesson, name="lesson"),
    path("classes/<uuid:class_id>/lesson/paper/", paper.fresh_sheet, name="fresh_sheet"),
    path("classes/<uuid:class_id>/lesson/paper/key/", paper.fresh_key, name="fresh_key"),
    path("classes/<uuid:class_id>/lesson/wall/", wall.wall, name="wall"),
    path("classes/<uuid:class_id>/lesson/demonstration/", live.demonstration, name="demonstration"),
]
