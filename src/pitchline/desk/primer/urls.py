"""Addresses of the primer."""

from django.urls import path

from pitchline.desk.primer import practice_views, views

urlpatterns = [
    path("", views.contents, name="primer"),
    path("parts/<str:part>/", views.part, name="primer-part"),
    path("seen/<str:finding>/", views.finding, name="primer-seen"),
    path("practice/", practice_views.practice, name="primer-practice"),
    path("practice/learners/", practice_views.learners, name="primer-learners"),
    path("practice/<str:mark>/", practice_views.piece, name="primer-piece"),
    path("slides.pdf", practice_views.slides, name="primer-slides"),
    path("<str:lesson>/", views.lesson, name="primer-lesson"),
]
