"""Every address of the pages, one line for each folder."""

from django.urls import include, path

urlpatterns = [
    path("in/", include("browline.web.entry.urls")),
    path("here/", include("browline.web.signing_in.urls")),
    path("", include("browline.web.today.urls")),
    path("teaching/", include("browline.web.teaching.urls")),
    path("teaching/sessions/", include("browline.web.sessions.urls")),
    path("teaching/roster/", include("browline.web.roster.urls")),
    path("teaching/staff/", include("browline.web.staff.urls")),
    path("teaching/plan/", include("browline.web.plan.urls")),
    path("teaching/roll-out/", include("browline.web.rollout.urls")),
    path("teaching/did-it-work/", include("browline.web.training.urls")),
    path("teaching/demonstrations/", include("browline.web.demonstrations.urls")),
    path("teaching/who-can-do-it/", include("browline.web.coverage.urls")),
    path("teaching/agreement/", include("browline.web.agreement.urls")),
    path("observe/", include("browline.web.observe.urls")),
    path("record/", include("browline.web.record.urls")),
    path("bedside/", include("browline.web.bedside.urls")),
    path("hand-outs/", include("browline.web.handouts.urls")),
    path("questions/", include("browline.web.questions.urls")),
    path("documents/", include("browline.web.documents.urls")),
    path("readings/", include("browline.web.readings.urls")),
    path("wards/", include("browline.web.wards.urls")),
    path("sites/", include("browline.web.sites.urls")),
    path("instruments/", include("browline.web.instruments.urls")),
    path("round/", include("browline.web.round.urls")),
    path("reports/", include("browline.web.reports.urls")),
    path("choices/", include("browline.web.choices.urls")),
    path("passes/", include("browline.web.passes.urls")),
    path("under-way/", include("browline.web.work.urls")),
]
