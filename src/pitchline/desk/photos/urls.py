"""Addresses of photos and documents."""

from django.urls import path

from pitchline.desk.photos import views

urlpatterns = [
    path("machines/<uuid:machine_id>/photos/", views.photos, name="photos"),
    path("machines/<uuid:machine_id>/photos/send/", views.send, name="send-photos"),
    path("photos/<uuid:attachment_id>/", views.attachment, name="attachment"),
    path("photos/<uuid:attachment_id>/caption/", views.caption, name="attachment-caption"),
    path("photos/<uuid:attachment_id>/remove/", views.remove, name="attachment-remove"),
    path("photos/<uuid:attachment_id>/names/", views.name_part, name="name-part"),
    path("photos/names/<uuid:name_id>/off/", views.take_name_off, name="name-off"),
    path("photos/<uuid:attachment_id>/<str:size>", views.attachment_file, name="attachment-file"),
]
