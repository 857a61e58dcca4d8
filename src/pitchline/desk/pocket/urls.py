"""Addresses of the yard in a phone."""

from django.urls import path

from pitchline.desk.pocket import views

urlpatterns = [
    path("pocket/hello", views.hello, name="pocket-hello"),
    path("pocket/yard", views.yard, name="pocket-yard"),
    path("pocket/machines/<uuid:machine_id>", views.parcel, name="pocket-machine"),
    path("pocket/send", views.send, name="pocket-send"),
]
