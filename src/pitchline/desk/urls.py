"""Every address of the desk; each app has its own."""

from django.apps import apps
from django.urls import include, path

from pitchline.desk.running import views as running

urlpatterns = [
    path("", include("pitchline.desk.yard.urls")),
    path("machines/", include("pitchline.desk.machine.urls")),
    path("machines/", include("pitchline.desk.entered.urls")),
    path("machines/", include("pitchline.desk.groundfit.urls")),
    path("", include("pitchline.desk.walkround.urls")),
    path("", include("pitchline.desk.photos.urls")),
    path("", include("pitchline.desk.printed.urls")),
    path("", include("pitchline.desk.undo.urls")),
    path("machines/", include("pitchline.desk.outlook.urls")),
    path("machines/", include("pitchline.desk.worth.urls")),
    path("", include("pitchline.desk.workplan.urls")),
    path("machines/", include("pitchline.desk.workdone.urls")),
    path("", include("pitchline.desk.meter.urls")),
    path("", include("pitchline.desk.shelf.urls")),
    path("", include("pitchline.desk.tables.urls")),
    path("", include("pitchline.desk.telling.urls")),
    path("", include("pitchline.desk.house.urls")),
    path("", include("pitchline.desk.gearbook.urls")),
    path("", include("pitchline.desk.learning.urls")),
    path("", include("pitchline.desk.pricelist.urls")),
    path("machines/", include("pitchline.desk.freequote.urls")),
    path("", include("pitchline.desk.partfit.urls")),
    path("", include("pitchline.desk.phones.urls")),
    path("", include("pitchline.desk.pocket.urls")),
    path("primer/", include("pitchline.desk.primer.urls")),
    path("", include("pitchline.desk.people.urls")),
    path("ready", running.ready, name="ready"),
    path("metrics", running.metrics, name="metrics"),
    path("", include("pitchline.desk.buyer.urls")),
    path("", include("pitchline.desk.staff.urls")),
    path("api/v1/", include("pitchline.desk.api.urls")),
]
if apps.is_installed("allauth.account"):  # only where people sign in, so that nobody else waits for it
    urlpatterns.append(path("", include("pitchline.desk.staff.signing")))
handler404 = "pitchline.desk.people.views.not_found"
handler400 = "pitchline.desk.problems.bad_request"
handler500 = "pitchline.desk.problems.failed"
