"""Every address of the desk; each app has its own."""

from django.urls import include, path

urlpatterns = [
    path("", include("pitchline.desk.yard.urls")),
    path("machines/", include("pitchline.desk.machine.urls")),
    path("", include("pitchline.desk.walkround.urls")),
    path("", include("pitchline.desk.gearbook.urls")),
    path("", include("pitchline.desk.people.urls")),
]
handler404 = "pitchline.desk.people.views.not_found"
handler500 = "pitchline.desk.people.views.failed"
