"""The map of the site."""

from django.urls import include, path

urlpatterns = [
    path("", include("quizzes.practice.urls")),
    path("", include("quizzes.homework.urls")),
    path("", include("quizzes.teaching.urls")),
    path("", include("quizzes.lesson.urls")),
    path("", include("quizzes.upkeep.urls")),
    path("account/", include("accounts.urls")),
]
