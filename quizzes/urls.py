"""The map of the site."""

from django.urls import include, path

urlpatterns = [
    path("", include("quizzes.practice.urls")),
    path("", include("quizzes.homework.urls")),
    path("", include("quizzes.teaching.urls")),
    path("account/", include("accounts.urls")),
]
