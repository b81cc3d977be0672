"""Signing in and out, joining a class, one's own account."""

import uuid

from django.conf import settings
from django.contrib import messages
from django.contrib.auth import login, logout
from django.contrib.auth.decorators import login_not_required
from django.contrib.auth.forms import PasswordChangeForm
from django.contrib.auth.views import PasswordChangeView
from django.core.exceptions import PermissionDenied
from django.http import Http404, HttpRequest, HttpResponse, HttpResponseRedirect
from django.shortcuts import redirect, render, resolve_url
from django.urls import reverse_lazy
from django.utils import timezone
from django.utils.http import url_has_allowed_host_and_scheme
from django.utils.translation import get_language, override
from django.utils.translation import gettext as _
from django.views.decorators.debug import sensitive_post_parameters
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from accounts.access import own_change
from accounts.changes import CannotTakeBackError, can_take_back, told
from accounts.changes import take_back as undo
from accounts.forms import JoinForm, NewAccountForm, ProfileForm, SignInForm
from accounts.guards import reader_of, teachers_only
from accounts.models import Change, Invitation, User
from accounts.requests import PageRequest

TOO_MANY_REQUESTS = 429


@login_not_required
@sensitive_post_parameters()
@require_http_methods(["GET", "HEAD", "POST"])
def sign_in(request: HttpRequest) -> HttpResponse:
    target = _target(request)
    if request.user.is_authenticated:
        return HttpResponseRedirect(target)
    form = SignInForm(request, timezone.now(), request.POST or None)
    if form.is_valid() and form.user:
        login(request, form.user)
        return HttpResponseRedirect(target)
    context = {"form": form, "next": _wanted(request), "is_open": settings.OPEN_REGISTRATION}
    status = TOO_MANY_REQUESTS if form.must_wait else 200
    return render(request, "accounts/sign_in.html", context, status=status)


def _wanted(request: HttpRequest) -> str:
    return request.POST.get("next") or request.GET.get("next", "")


def _target(request: HttpRequest) -> str:
    """Where the reader wanted to go, if that is a page of this site."""
    wanted = _wanted(request)
    here = {request.get_host()}
    if wanted and url_has_allowed_host_and_scheme(wanted, here, require_https=request.is_secure()):
        return wanted
    return resolve_url(settings.LOGIN_REDIRECT_URL)


@login_not_required
@require_POST
def sign_out(request: HttpRequest) -> HttpResponse:
    logout(request)
    return redirect("accounts:sign_in")


@login_not_required
@sensitive_post_parameters()
@require_http_methods(["GET", "HEAD", "POST"])
def join(request: HttpRequest) -> HttpResponse:
    if request.user.is_authenticated:
        return _join_signed_in(request)
    data = request.POST or None
    join_form = JoinForm(request, timezone.now(), data)
    student_form = NewAccountForm(data)
    if data and all([join_form.is_valid(), student_form.is_valid()]):
        with student_form.taken_meanwhile():
            join_form.cleaned_data["join_word"].add_student(student_form.save())
        if student_form.is_valid():
            login(request, student_form.instance, backend=settings.AUTHENTICATION_BACKENDS[0])
            return _joined(request, join_form)
    return render(request, "accounts/join.html", {"forms": [join_form, student_form]})


def _join_signed_in(request: HttpRequest) -> HttpResponse:
    reader = reader_of(request)
    if reader.is_teacher or reader.is_staff:
        raise PermissionDenied
    form = JoinForm(request, timezone.now(), request.POST or None)
    if form.is_valid():
        form.cleaned_data["join_word"].add_student(reader)
        return _joined(request, form)
    return render(request, "accounts/join.html", {"forms": [form]})


def _joined(request: HttpRequest, form: JoinForm) -> HttpResponse:
    name = form.cleaned_data["join_word"].name
    messages.success(request, _("You are now in the class {name}.").format(name=name))
    return redirect(settings.LOGIN_REDIRECT_URL)


@login_not_required
@sensitive_post_parameters()
@require_http_methods(["GET", "HEAD", "POST"])
def invitation(request: HttpRequest, secret: uuid.UUID) -> HttpResponse:
    """A new teacher's account, once for each invitation."""
    if request.user.is_authenticated:
        return redirect(settings.LOGIN_REDIRECT_URL)
    now = timezone.now()
    open_invitation = Invitation.objects.open(secret, now)
    found = open_invitation.first()
    if found is None:
        raise Http404
    teacher = User(is_teacher=True, may_invite=found.may_invite)
    form = NewAccountForm(request.POST or None, instance=teacher)
    if form.is_valid():
        with form.taken_meanwhile():
            if not open_invitation.update(used_at=now):
                raise Http404
            form.save()
        if form.is_valid():
            login(request, form.instance, backend=settings.AUTHENTICATION_BACKENDS[0])
            return redirect(settings.LOGIN_REDIRECT_URL)
    return render(request, "accounts/invitation.html", {"form": form})


@require_http_methods(["GET", "HEAD", "POST"])
def profile(request: HttpRequest) -> HttpResponse:
    reader = reader_of(request)
    form = ProfileForm(request.POST or None, instance=reader)
    if form.is_valid():
        form.save()
        with override(reader.language or get_language()):
            messages.success(request, _("Saved."))
        return redirect("accounts:profile")
    classes = reader.school_classes.current()
    return render(request, "accounts/profile.html", {"form": form, "classes": classes})


@teachers_only
@require_safe
def changes(request: PageRequest) -> HttpResponse:
    """What the reader changed lately, and what of it can still be taken back."""
    now = timezone.now()
    Change.objects.fade(now)
    found = Change.objects.lately_by(reader_of(request), now)
    lines = [(change, told(change), can_take_back(change, now)) for change in found]
    return render(request, "accounts/changes.html", {"lines": lines})


@teachers_only
@require_POST
def take_back(request: PageRequest, change_id: uuid.UUID) -> HttpResponse:
    now = timezone.now()
    change = own_change(reader_of(request), change_id, now)
    try:
        undo(change, now)
    except CannotTakeBackError as refusal:
        messages.error(request, str(refusal))
    else:
        messages.success(request, _("Taken back: %(what)s") % {"what": told(change)})
    return redirect("accounts:changes")


class ChangePasswordView(PasswordChangeView):
    """Ends every other session of the reader."""

    template_name = "accounts/change_password.html"
    success_url = reverse_lazy("accounts:profile")

    def form_valid(self, form: PasswordChangeForm) -> HttpResponse:
        messages.success(self.request, _("Your password is changed."))
        return super().form_valid(form)
