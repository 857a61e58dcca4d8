"""Every paper of the yard that is set, as the desk hands it out: its address and the sum of its bytes, as JSON.

On a yard beside the tests, in a process of its own:  PITCHLINE_DESK_DATA=FOLDER python tests/papers_told.py
"""

import hashlib
import json
import os


def papers():
    """Address of each, with its status and sum; where a Django is set up."""
    from django.test import Client
    from django.urls import reverse

    from pitchline.desk.bridge.price_rows import PriceFile
    from pitchline.desk.freequote.models import FreeQuoteRow
    from pitchline.desk.machine.models import Judgement, Machine
    from pitchline.desk.machine.papers import PAPERS
    from pitchline.desk.photos.models import Attachment
    from pitchline.desk.workplan.models import Plan
    from pitchline.desk.workplan.papers import PLAN_PAPERS

    addresses = [
        *(("machine-download", (one.pk,)) for one in Machine.objects.order_by("pk")),
        *(
            ("paper", (one.machine_id, one.pk, name))
            for one in Judgement.objects.order_by("pk")
            for name in PAPERS
        ),
        *(
            ("plan-paper", (one.machine_id, one.pk, name))
            for one in Plan.objects.order_by("pk")
            for name in PLAN_PAPERS
        ),
        *(("free-quote-paper", (one.machine_id, one.pk)) for one in FreeQuoteRow.objects.order_by("pk")),
        *(("prices-file", (one.pk, "csv")) for one in PriceFile.objects.order_by("pk")),
        *(("attachment-file", (one.pk, "file")) for one in Attachment.objects.order_by("pk")),
    ]
    browser = Client(headers={"host": "127.0.0.1"})
    for name, args in addresses:
        answer = browser.get(reverse(name, args=args))
        content = b"".join(answer) if answer.streaming else answer.content
        yield f"{name} {' '.join(map(str, args))}", [answer.status_code, hashlib.sha256(content).hexdigest()]


if __name__ == "__main__":
    import django

    os.environ["DJANGO_SETTINGS_MODULE"] = "pitchline.desk.settings"
    django.setup()
    print(json.dumps(dict(papers())))
