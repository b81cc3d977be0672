"""Keeping the site, and a reader's own data."""

from django.urls import path

from quizzes.upkeep import views

urlpatterns = [
    path("health/", views.health_page, name="health"),
    path("school/", views.school_page, name="school"),
    # /privacy/
    path("privacy/", views.privacy, name="privacy"),
    path("privacy/my-data/", views.my_data, name="my_data"),
    # /classes/<class>/people/<student>/
    path("classes/<uuid:class_id>/people/<uuid:student_id>/", views.student_page, name="student_page"),
    path(
        "classes/<uuid:class_id>/people/<uuid:student_id>/erase/", views.erase_student, name="erase_student"
    ),
]
