"""Addresses of the yard in a phone."""

from django.urls import path

from pitchline.desk.pocket import views

urlpatterns = [
    path("pocket/hello", views.hello, name="pocket-hello"),
    path("pocket/yard", views.yard, name="pocket-yard"),
    path("pocket/machines/<uuid:machine_id>", views.parcel, name="pocket-machine"),
    path("pocket/send", views.send, name="pocket-send"),
    path("pocket/brought/", views.brought, name="pocket-brought"),
    path("pocket/brought/<int:brought_id>/", views.decide, name="pocket-decide"),
    path("pocket/brought/<int:brought_id>/photo.jpg", views.photo, name="pocket-photo"),
    path("pocket/file/", views.file, name="pocket-file"),
]
