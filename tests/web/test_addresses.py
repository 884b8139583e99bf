"""The addresses: joined by area, each page once, no two alike."""

from collections import Counter
from pathlib import Path

from django.urls import URLPattern, URLResolver, get_resolver

from browline import web

WEB = Path(web.__file__).parent


def resolvers(listed):
    for one in listed:
        if isinstance(one, URLResolver):
            yield one.urlconf_name.__name__
            yield from resolvers(one.url_patterns)


def routes(listed, before=""):
    for one in listed:
        route = before + str(one.pattern)
        if isinstance(one, URLPattern):
            yield route, one.name
        else:
            yield from routes(one.url_patterns, route)


def test_every_file_of_addresses_is_joined_once_and_by_its_area():
    files = {".".join(("browline", "web", *f.relative_to(WEB).parts))[:-3] for f in WEB.glob("*/**/urls.py")}
    joined = Counter(resolvers(get_resolver().url_patterns))
    assert joined == Counter(files)
    for area in get_resolver().url_patterns:
        own = area.urlconf_name.__name__.removesuffix("urls")
        assert all(name.startswith(own) for name in resolvers(area.url_patterns))


def test_no_two_pages_have_one_address_or_one_name():
    pairs = list(routes(get_resolver().url_patterns))
    for column in zip(*pairs, strict=True):
        assert [part for part, n in Counter(column).items() if n > 1] == []
