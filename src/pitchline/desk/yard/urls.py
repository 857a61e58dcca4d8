"""Addresses of the yard."""

from django.urls import path

from pitchline.desk.yard import views

urlpatterns = [
    path("", views.yard, name="yard"),
    path("machines/new/", views.add, name="add"),
    path("bring/", views.bring, name="bring"),
    path("demo/", views.demo, name="demo"),
    path("prices/", views.prices, name="prices"),
]
