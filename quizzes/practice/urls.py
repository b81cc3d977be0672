"""The student's pages."""

from django.urls import path

from quizzes.practice import again, help, pages, progress, sending, views

urlpatterns = [
    # /
    path("", pages.home, name="home"),
    # /runs/
    path("runs/", views.start, name="start_run"),
    path("runs/<uuid:run_id>/", views.run_page, name="run"),
    path("runs/<uuid:run_id>/next/", views.next_step, name="next_question"),
    path("runs/<uuid:run_id>/end/", views.end, name="end_run"),
    path("runs/<uuid:run_id>/cell/", pages.cell, name="run_cell"),
    # /questions/
    path("questions/<uuid:question_id>/", pages.past_question, name="past_question"),
    path("questions/<uuid:question_id>/answer/", views.answer, name="answer"),
    path("questions/<uuid:question_id>/reading/", views.reading, name="reading"),
    path("questions/<uuid:question_id>/hint/", views.hint, name="hint"),
    path("questions/<uuid:question_id>/show/", views.show, name="show_answer"),
    path("questions/<uuid:question_id>/again/", again.same_step, name="again"),
    path("questions/<uuid:question_id>/send-in/", sending.send_in, name="send_in"),
    # /steps/
    path("steps/", again.one_step, name="practise_step"),
    # /progress/
    path("progress/", progress.progress, name="progress"),
    path("progress/questions/", progress.past_questions, name="past_questions"),
    path("progress/sent/", sending.my_sent_in, name="my_sent_in"),
    # /help/
    path("help/", help.typing, name="help"),
    path("help/reading/", help.try_reading, name="help_reading"),
]
