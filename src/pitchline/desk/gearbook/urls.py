"""Addresses of the gear list; those it had before are led on, forms sent to them too."""

from django.http import HttpRequest, HttpResponsePermanentRedirect
from django.urls import path

from pitchline.desk.gearbook import machine_limits, views


def _led_on(request: HttpRequest, **_: object) -> HttpResponsePermanentRedirect:
    whole = request.get_full_path().replace("/running-gear/", "/gear-list/", 1)
    whole = whole.replace("/from-book/", "/from-gear-list/", 1).replace("/to-book/", "/to-gear-list/", 1)
    return HttpResponsePermanentRedirect(whole, preserve_request=True)


urlpatterns = [
    path("gear-list/", views.book, name="book"),
    path("gear-list/new/", views.new, name="book-new"),
    path("gear-list/bring/", views.bring, name="book-bring"),
    path("gear-list/undo/<uuid:batch>/", views.undo, name="book-undo"),
    path("gear-list/<uuid:entry_id>/", views.entry, name="book-entry"),
    path("gear-list/<uuid:entry_id>/change/", views.change, name="book-change"),
    path("gear-list/<uuid:entry_id>/limits/", views.limits, name="book-limits"),
    path("gear-list/<uuid:entry_id>/fit/", views.fit, name="book-fit"),
    path("gear-list/<uuid:entry_id>/away/", views.away, name="book-away"),
    path("gear-list/<uuid:entry_id>/gear.json", views.download, name="book-download"),
    path("machines/<uuid:machine_id>/from-gear-list/", views.from_book, name="from-book"),
    path("machines/<uuid:machine_id>/to-gear-list/", views.to_book, name="to-book"),
    path("machines/<uuid:machine_id>/limits/", machine_limits.limits, name="limits"),
    path("machines/<uuid:machine_id>/limits/bring/", machine_limits.bring_limits, name="bring-limits"),
    path("machines/<uuid:machine_id>/limits.<str:ending>", machine_limits.limits_table, name="limits-table"),
    path("running-gear/", _led_on),
    path("running-gear/<path:rest>", _led_on),
    path("machines/<uuid:machine_id>/from-book/", _led_on),
    path("machines/<uuid:machine_id>/to-book/", _led_on),
]
