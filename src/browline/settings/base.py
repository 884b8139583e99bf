"""Django settings: one process, one book. `browline.store.book` points it at the book's records."""

import os
from pathlib import Path
from typing import Any

SECRET_KEY = "set-when-a-book-is-opened"
DEBUG = False
ALLOWED_HOSTS = ["127.0.0.1", "localhost"]
USE_TZ = True
TIME_ZONE = "UTC"
# What this computer's environment said of its zone: Django sets the process to UTC once these settings are read.
COMPUTERS_TZ = os.environ.get("TZ")
LANGUAGE_CODE = "en-gb"
USE_I18N = False

DATABASES: dict[str, Any] = {
    "default": {
        "ENGINE": "django.db.backends.sqlite3",
        "NAME": ":memory:",
        "OPTIONS": {
            "timeout": 20,
            "transaction_mode": "IMMEDIATE",
            "init_command": "PRAGMA journal_mode=WAL; PRAGMA synchronous=FULL; PRAGMA foreign_keys=ON;",
        },
    }
}

INSTALLED_APPS = [
    "django.contrib.auth",
    "django.contrib.contenttypes",
    "django.contrib.sessions",
    "django.contrib.messages",
    "django.contrib.staticfiles",
    "django_htmx",
    "csp",
    "browline.store",
    "browline.web",
]

MIDDLEWARE = [
    "django.middleware.security.SecurityMiddleware",
    "whitenoise.middleware.WhiteNoiseMiddleware",
    "browline.web.refusals.RecordsMiddleware",
    "django.contrib.sessions.middleware.SessionMiddleware",
    "django.middleware.common.CommonMiddleware",
    "django.middleware.csrf.CsrfViewMiddleware",
    "django.contrib.auth.middleware.AuthenticationMiddleware",
    "django.contrib.messages.middleware.MessageMiddleware",
    "django.middleware.clickjacking.XFrameOptionsMiddleware",
    "csp.middleware.CSPMiddleware",
    "django_htmx.middleware.HtmxMiddleware",
    "browline.web.access.RightsMiddleware",
    "browline.web.clock.WardClockMiddleware",
    "browline.web.refusals.RefusalMiddleware",
]

TEMPLATES = [
    {
        "BACKEND": "django.template.backends.django.DjangoTemplates",
        # A page's template lies beside its view, so the templates' folder is the pages' own.
        "DIRS": [Path(__file__).resolve().parents[1] / "web"],
        "APP_DIRS": True,
        "OPTIONS": {
            "context_processors": [
                "django.template.context_processors.request",
                "django.contrib.auth.context_processors.auth",
                "django.contrib.messages.context_processors.messages",
                "browline.web.frame.frame",
            ],
        },
    }
]

# The program that carries a job out in a process of its own.
JOB_PROGRAM = "browline.cli.job"
ROOT_URLCONF = "browline.web.urls"
STATIC_URL = "/static/"
STATICFILES_DIRS = [("fonts", Path(__file__).resolve().parents[1] / "figures" / "fonts")]
WHITENOISE_USE_FINDERS = True
WHITENOISE_AUTOREFRESH = False
SESSION_COOKIE_HTTPONLY = True
SESSION_COOKIE_AGE = 12 * 60 * 60
SESSION_EXPIRE_AT_BROWSER_CLOSE = True
MESSAGE_STORAGE = "django.contrib.messages.storage.session.SessionStorage"
SESSION_COOKIE_SAMESITE = "Strict"
CSRF_COOKIE_SAMESITE = "Strict"
SECURE_REFERRER_POLICY = "same-origin"
X_FRAME_OPTIONS = "DENY"
# An upload holds patients' identifiers, so it is streamed to where nobody else can read it, never to a
# temporary file: see web/readings/imports/upload.py. A mapping form has one field for every column of every sheet.
FILE_UPLOAD_HANDLERS = ["browline.web.readings.imports.upload.HeldUploadHandler"]
DATA_UPLOAD_MAX_MEMORY_SIZE = None
DATA_UPLOAD_MAX_NUMBER_FIELDS = 20_000

SELF = "'self'"
CONTENT_SECURITY_POLICY = {
    "DIRECTIVES": {
        "default-src": ["'none'"],
        "script-src": [SELF],
        "style-src": [SELF],
        "img-src": [SELF],
        "font-src": [SELF],
        "connect-src": [SELF],
        "form-action": [SELF],
        "base-uri": ["'none'"],
        "frame-ancestors": ["'none'"],
    }
}

LOGGING = {
    "version": 1,
    "disable_existing_loggers": False,
    "handlers": {"console": {"class": "logging.StreamHandler"}},
    "root": {"handlers": ["console"], "level": "WARNING"},
}
