"""The words of `browline.web.words` as template filters."""

from django import template

from browline.web import words

register = template.Library()

for function in (
    words.moment,
    words.day,
    words.chance,
    words.in_a_hundred,
    words.difference,
    words.temperature,
    words.size,
    words.interval,
    words.count,
    words.offset_interval,
    words.error,
):
    register.filter(function.__name__, function)
