"""Addresses of the primer."""

from django.urls import path

from pitchline.desk.primer import views

urlpatterns = [
    path("", views.contents, name="primer"),
    path("parts/<str:part>/", views.part, name="primer-part"),
    path("seen/<str:finding>/", views.finding, name="primer-seen"),
    path("practice/", views.practice, name="primer-practice"),
    path("<str:lesson>/", views.lesson, name="primer-lesson"),
]
