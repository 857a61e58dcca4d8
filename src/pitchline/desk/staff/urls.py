"""Addresses of people, of one's own sign-in and of what a link opens."""

from django.urls import path

from pitchline.desk.staff import views

urlpatterns = [
    path("people/", views.people, name="people"),
    path("people/invite/", views.invite, name="invite"),
    path("people/invitations/<uuid:invitation_id>/back/", views.uninvite, name="uninvite"),
    path("people/<int:member_id>/", views.person, name="person"),
    path("people/<int:member_id>/out/", views.out, name="person-out"),
    path("people/<int:member_id>/password/", views.new_password, name="person-password"),
    path("people/depots/", views.add_depot, name="add-depot"),
    path("people/depots/<uuid:depot_id>/remove/", views.remove_depot, name="remove-depot"),
    path("machines/<uuid:machine_id>/depot/", views.stand_at, name="stand-at"),
    path("own/", views.own, name="own"),
    path("own/tokens/", views.add_token, name="add-token"),
    path("own/tokens/<int:token_id>/end/", views.drop_token, name="end-token"),
    path("welcome/<str:secret>/", views.welcome, name="welcome"),
]
