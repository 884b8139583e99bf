"""Come in: use the link, then leave its address behind."""

from django.contrib.auth.decorators import login_not_required
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.views.decorators.http import require_GET

from browline.roles import EDUCATOR
from browline.web.access import holder, let_in, let_in_with_pass
from browline.web.frame import first_page


@login_not_required
@require_GET
def come_in(request: HttpRequest, token: str) -> HttpResponse:
    """Sign in with an unused link and show Today; otherwise say how to get a new one."""
    if let_in(request, token):
        return redirect("today")
    return render(request, "account/login/closed.html", {"used": True}, status=403)


@login_not_required
@require_GET
def come_in_with_pass(request: HttpRequest, token: str) -> HttpResponse:
    """Take the pass and show its first page; otherwise say that it has ended, or that it is somebody else's."""
    bearer = holder(request)
    if bearer is not None and bearer.role == EDUCATOR:
        return render(request, "account/login/another_bearer.html", status=409)
    if let_in_with_pass(request, token):
        return redirect(first_page(request))
    return render(request, "account/login/closed.html", {"ended": True}, status=403)
