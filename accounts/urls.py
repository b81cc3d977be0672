from django.contrib.auth.decorators import login_not_required
from django.urls import path
from django.views.decorators.http import require_POST
from django.views.i18n import set_language

from accounts import inviting, views

app_name = "accounts"

# /account/…
urlpatterns = [
    path("", views.profile, name="profile"),
    path("language/", login_not_required(require_POST(set_language)), name="language"),
    path("sign-in/", views.sign_in, name="sign_in"),
    path("sign-out/", views.sign_out, name="sign_out"),
    path("invitation/<uuid:secret>/", views.invitation, name="invitation"),
    path("invite/", inviting.invite, name="invite"),
    path("register/", inviting.register, name="register"),
    path("join/", views.join, name="join"),
    path("changes/", views.changes, name="changes"),
    path("changes/<uuid:change_id>/take-back/", views.take_back, name="take_back"),
    path(
        "password/",
        views.ChangePasswordView.as_view(http_method_names=["get", "head", "post"]),
        name="change_password",
    ),
]
