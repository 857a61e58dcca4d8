"""Addresses of the settings."""

from django.urls import path

from pitchline.desk.house import views

urlpatterns = [
    path("settings/", views.settings, name="settings"),
    path("settings/feed/", views.feed, name="feed-settings"),
]
