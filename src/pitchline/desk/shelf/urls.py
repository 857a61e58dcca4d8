"""Addresses of the shelf."""

from django.urls import path

from pitchline.desk.shelf import views

urlpatterns = [
    path("shelf/", views.shelf, name="shelf"),
    path("shelf/new/", views.new, name="shelf-new"),
    path("shelf/bring/", views.bring, name="shelf-bring"),
    path("shelf/shelf.<str:ending>", views.out, name="shelf-out"),
    path("shelf/<uuid:item_id>/", views.item, name="shelf-item"),
    path("shelf/<uuid:item_id>/away/", views.away, name="shelf-away"),
    path("machines/<uuid:machine_id>/take/", views.take, name="shelf-take"),
]
