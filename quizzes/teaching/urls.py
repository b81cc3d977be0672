"""The teacher's pages."""

from django.urls import path

from quizzes.teaching import views

urlpatterns = [
    # /classes/
    path("classes/", views.classes, name="classes"),
    path("classes/new/", views.new_class, name="new_class"),
    path("classes/<uuid:class_id>/", views.class_page, name="class_page"),
]
