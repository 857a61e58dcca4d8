"""A walk-round on the desk's own keys, as a thumb presses them."""

from playwright.sync_api import expect

KEYS = {
    *"0123456789", "Decimal point", "Delete", "Next", "Another reading", "Skip part", "Cannot be reached", "Nothing seen, next",
    "Photo", "Phone's own keys",
}  # fmt: skip


def key(page, name):
    """One key or button, by what stands on it; a browser takes a tenth of a second to ask all of a walk-round their names."""
    where = page.locator("[data-keys]") if name in KEYS else page
    where.get_by_role("button", name=name, exact=True).click()


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
    expect(page.locator("h1:visible")).to_have_text(part)
