"""Addresses of hours."""

from django.urls import path

from pitchline.desk.meter import views

urlpatterns = [
    path("machines/<uuid:machine_id>/hours/", views.machine_hours, name="machine-hours"),
    path("machines/<uuid:machine_id>/hours/leave-out/", views.leave_out, name="hours-leave-out"),
    path("machines/<uuid:machine_id>/hours/meter-changed/", views.meter_changed, name="meter-changed"),
    path("hours/", views.hours, name="hours"),
    path("hours/blank.csv", views.blank_hours, name="hours-blank"),
    path("hours/whose/", views.whose, name="hours-whose"),
    path("hours/feeds/<uuid:feed_id>/", views.feed, name="hours-feed"),
    path("hours/feeds/<uuid:feed_id>/fetch/", views.fetch_now, name="hours-fetch"),
    path("hours/feeds/<uuid:feed_id>/off/", views.feed_off, name="hours-off"),
]
