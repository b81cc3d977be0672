"""The teacher's pages."""

from django.urls import path

from quizzes.teaching import people, roster, sent_in, slips, views

urlpatterns = [
    # /classes/
    path("classes/", views.classes, name="classes"),
    path("classes/new/", views.new_class, name="new_class"),
    # /classes/<class>/
    path("classes/<uuid:class_id>/", views.class_page, name="class_page"),
    path("classes/<uuid:class_id>/mistakes/", views.mistakes, name="mistakes"),
    path("classes/<uuid:class_id>/settings/", views.class_settings, name="class_settings"),
    path("classes/<uuid:class_id>/in-play/", views.in_play, name="in_play"),
    path("classes/<uuid:class_id>/archive/", views.archive_class, name="archive_class"),
    path("classes/<uuid:class_id>/restore/", views.restore_class, name="restore_class"),
    # /classes/<class>/people/
    path("classes/<uuid:class_id>/people/", people.people, name="people"),
    path("classes/<uuid:class_id>/people/join-word/", people.join_word, name="join_word"),
    path("classes/<uuid:class_id>/people/teachers/", people.add_teacher, name="add_teacher"),
    path("classes/<uuid:class_id>/people/roster/", roster.roster, name="roster"),
    path("classes/<uuid:class_id>/people/roster/class/", roster.roster_class, name="roster_class"),
    path("classes/<uuid:class_id>/people/roster/take/", roster.take_roster, name="take_roster"),
    path("classes/<uuid:class_id>/people/remove/", people.remove_students, name="remove_students"),
    # /sent-in/
    path("sent-in/", sent_in.sent_in, name="sent_in"),
    path("sent-in/<uuid:sent_id>/", sent_in.look_at, name="look_at"),
    path("sent-in/decisions/<uuid:ruling_id>/withdraw/", sent_in.withdraw_ruling, name="withdraw_ruling"),
    # /classes/<class>/slips/
    path("classes/<uuid:class_id>/slips/", slips.slips, name="slips"),
    path("classes/<uuid:class_id>/slips/new-passwords/", slips.new_passwords, name="new_passwords"),
]
