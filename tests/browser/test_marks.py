"""The hatch of each call as a browser shows it: the code of marks on paper and in drawings, held in tests/unit/picture too."""

import pytest

from marks_seen import inside, leans, reds

pytestmark = pytest.mark.django_db(transaction=True)
CODE = {"unjudged": (), "run": (), "book": (45,), "stop": (45, 135)}


@pytest.mark.parametrize("scheme", ["light", "dark"])
def test_a_call_is_hatched_by_the_code(browser, live_server, scheme):
    """Run plain, book one way, stop both ways and alone in red; what stands before an answer on a ground is no such square."""
    context = browser.new_context(
        device_scale_factor=8,
        base_url=live_server.url,
        color_scheme=scheme,
        viewport={"width": 240, "height": 120},
    )
    page = context.new_page()
    page.goto("/")
    for call, ways in CODE.items():
        page.evaluate(
            "call => document.body.innerHTML = `<p class='call ${call}' style='margin: 20px'><i></i>${call}</p>`",
            call,
        )
        box = page.locator(".call i").bounding_box()
        corner = {"x": box["x"] - 2, "y": box["y"] - 2, "width": box["width"] + 4, "height": box["height"] + 4}
        assert leans(inside(page.screenshot(clip=corner), 0.24)) == ways, call
        assert (reds(page.screenshot()) > 0) == (call == "stop")
    context.close()
