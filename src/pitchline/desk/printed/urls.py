"""Addresses of printed sheets; short, for they stand on paper."""

from django.urls import path

from pitchline.desk.printed import views

urlpatterns = [
    path("s/", views.any_sheet, name="sheet-code"),
    path("s/<str:code>/", views.sheet, name="printed-sheet"),
]
