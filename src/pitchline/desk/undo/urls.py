"""Addresses of undoing."""

from django.urls import path

from pitchline.desk.undo import views

urlpatterns = [
    path("undo/", views.list_undoable, name="undoable"),
    path("undo/<uuid:undoable_id>/", views.take_back, name="undo"),
]
