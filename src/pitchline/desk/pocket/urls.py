"""Addresses of the yard in a phone."""

from django.urls import path

from pitchline.desk.pocket import shell, views

urlpatterns = [
    path("pocket/", shell.page, name="pocket"),
    path("pocket/sw.js", shell.worker, name="pocket-worker"),
    path("pocket/manifest.webmanifest", shell.manifest, name="pocket-manifest"),
    path("pocket/app.<slug:digest>.js", shell.script, name="pocket-script"),
    path("pocket/app.<slug:digest>.css", shell.sheet, name="pocket-sheet"),
    path("pocket/hello", views.hello, name="pocket-hello"),
    path("pocket/yard", views.yard, name="pocket-yard"),
    path("pocket/machines/<uuid:machine_id>", views.parcel, name="pocket-machine"),
    path("pocket/send", views.send, name="pocket-send"),
    path("pocket/brought/", views.brought, name="pocket-brought"),
    path("pocket/brought/<int:brought_id>/", views.decide, name="pocket-decide"),
    path("pocket/brought/<int:brought_id>/photo.jpg", views.photo, name="pocket-photo"),
    path("pocket/file/", views.file, name="pocket-file"),
]
