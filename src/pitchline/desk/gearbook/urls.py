"""Addresses of the running-gear book."""

from django.urls import path

from pitchline.desk.gearbook import machine_limits, views

urlpatterns = [
    path("running-gear/", views.book, name="book"),
    path("running-gear/new/", views.new, name="book-new"),
    path("running-gear/bring/", views.bring, name="book-bring"),
    path("running-gear/learned/", views.learned, name="book-learned"),
    path("running-gear/undo/<uuid:batch>/", views.undo, name="book-undo"),
    path("running-gear/<uuid:entry_id>/", views.entry, name="book-entry"),
    path("running-gear/<uuid:entry_id>/change/", views.change, name="book-change"),
    path("running-gear/<uuid:entry_id>/limits/", views.limits, name="book-limits"),
    path("running-gear/<uuid:entry_id>/fit/", views.fit, name="book-fit"),
    path("running-gear/<uuid:entry_id>/away/", views.away, name="book-away"),
    path("running-gear/<uuid:entry_id>/gear.json", views.download, name="book-download"),
    path("machines/<uuid:machine_id>/from-book/", views.from_book, name="from-book"),
    path("machines/<uuid:machine_id>/to-book/", views.to_book, name="to-book"),
    path("machines/<uuid:machine_id>/limits/", machine_limits.limits, name="limits"),
    path("machines/<uuid:machine_id>/limits/bring/", machine_limits.bring_limits, name="bring-limits"),
    path("machines/<uuid:machine_id>/limits.<str:ending>", machine_limits.limits_table, name="limits-table"),
]
