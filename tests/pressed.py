"""A walk-round on the desk's own keys, as a thumb presses them."""

from playwright.sync_api import expect


def key(page, name):
    """One key or button, by what stands on it."""
    page.get_by_role("button", name=name, exact=True).click()


def press(page, text):
    """A number, digit by digit."""
    for letter in text:
        key(page, "Decimal point" if letter == "." else letter)


def onward(page):
    """Next, and the desk's word about what was just typed: it is waited for before one goes on."""
    key(page, "Next")
    page.locator("[data-keys]:not([aria-busy])").wait_for(state="attached")


def stands_at(page, part):
    """The page is that of a part."""
    expect(page.get_by_role("heading", level=1)).to_have_text(part)
