"""The words of `browline.web.filters` as template filters."""

from django import template

from browline import display
from browline.web import filters

register = template.Library()

for function in (
    filters.moment,
    filters.day,
    display.chance,
    display.how_sure,
    display.rough_chance,
    filters.difference,
    filters.temperature,
    filters.size,
    filters.interval,
    filters.count,
    filters.offset_interval,
    filters.error,
):
    register.filter(function.__name__, function)
