"""Addresses of teaching, of signing in, of observing and of records."""

from django.urls import include, path

urlpatterns = [
    path("here/", include("browline.web.training.attendance.urls")),
    path("teaching/", include("browline.web.training.index.urls")),
    path("teaching/sessions/", include("browline.web.training.sessions.urls")),
    path("teaching/roster/", include("browline.web.training.roster.urls")),
    path("teaching/staff/", include("browline.web.training.staff.urls")),
    path("teaching/plan/", include("browline.web.training.visit_plan.urls")),
    path("teaching/roll-out/", include("browline.web.training.rollout.urls")),
    path("teaching/did-it-work/", include("browline.web.training.training_effect.urls")),
    path("teaching/demonstrations/", include("browline.web.training.demonstrations.urls")),
    path("teaching/who-can-do-it/", include("browline.web.training.coverage.urls")),
    path("teaching/agreement/", include("browline.web.training.interrater.urls")),
    path("observe/", include("browline.web.training.observe.urls")),
    path("record/", include("browline.web.training.competence_record.urls")),
]
