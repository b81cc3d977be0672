"""How teachers come in: invited by a colleague who may, or by themselves where the site says so."""

from __future__ import annotations

from datetime import timedelta

from django.conf import settings
from django.contrib.auth import login
from django.contrib.auth.decorators import login_not_required
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.utils import timezone
from django.views.decorators.debug import sensitive_post_parameters
from django.views.decorators.http import require_http_methods

from accounts.forms import InviteForm, NewAccountForm
from accounts.guards import reader_of, teachers_only
from accounts.models import Invitation, User
from accounts.requests import PageRequest

LASTING = timedelta(days=7)


@teachers_only
@require_http_methods(["GET", "HEAD", "POST"])
def invite(request: PageRequest) -> HttpResponse:
    """Makes a link that makes one teacher's account; it is shown this once."""
    if not reader_of(request).may_invite:
        raise Http404
    form = InviteForm(request.POST if request.method == "POST" else None)
    context: dict[str, object] = {"form": form, "days": LASTING.days}
    if request.method == "POST" and form.is_valid():
        secret = Invitation.objects.issue(timezone.now(), LASTING, **form.cleaned_data)
        context["link"] = request.build_absolute_uri(reverse("accounts:invitation", args=[secret]))
    return render(request, "accounts/invite.html", context)


@login_not_required
@sensitive_post_parameters()
@require_http_methods(["GET", "HEAD", "POST"])
def register(request: HttpRequest) -> HttpResponse:
    """A teacher's account without an invitation, on a site that is open to all teachers."""
    if not settings.OPEN_REGISTRATION:
        raise Http404
    if request.user.is_authenticated:
        return redirect(settings.LOGIN_REDIRECT_URL)
    form = NewAccountForm(request.POST or None, instance=User(is_teacher=True))
    if form.is_valid():
        with form.taken_meanwhile():
            form.save()
        if form.is_valid():
            login(request, form.instance, backend=settings.AUTHENTICATION_BACKENDS[0])
            return redirect(settings.LOGIN_REDIRECT_URL)
    return render(request, "accounts/register.html", {"form": form})
