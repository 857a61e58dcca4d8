"""Addresses of being alive, and of the icon a browser asks for by itself."""

from django.urls import path

from pitchline.desk.people import views

urlpatterns = [
    path("alive", views.alive, name="alive"),
    path("favicon.ico", views.icon, name="icon"),
]
