"""Addresses of free quotes."""

from django.urls import path

from pitchline.desk.freequote import views

urlpatterns = [
    path("<uuid:machine_id>/quote/", views.quote, name="free-quote"),
    path("<uuid:machine_id>/quotes/<uuid:quote_id>/quote.pdf", views.paper, name="free-quote-paper"),
    path("<uuid:machine_id>/quotes/<uuid:quote_id>/away/", views.away, name="free-quote-away"),
]
