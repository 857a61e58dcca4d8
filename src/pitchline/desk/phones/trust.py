"""The page a phone opens first: plain, because it does not trust the desk yet, and with nothing on it but what trust needs."""

import html
from collections.abc import Callable, Iterable
from typing import TYPE_CHECKING

from pitchline.desk.phones.certificates import Signed, der_of, fingerprint_of, profile_of
from pitchline.trade.writing import way_in_force
from pitchline.words import in_english, translated

if TYPE_CHECKING:
    from _typeshed.wsgi import StartResponse, WSGIApplication, WSGIEnvironment

STYLE = (
    "body{font:18px/1.5 system-ui,sans-serif;max-width:36rem;margin:auto;padding:1rem;"
    "color:#1b1a17;background:#f7f4ec}"
    "h1{font-size:1.5rem}h2{font-size:1.15rem;margin-top:2rem}a.big{display:block;border:2px solid;"
    "padding:.9rem 1rem;margin:.6rem 0;"
    "color:inherit;font-weight:600;text-decoration:none}code{font-size:1.1em}li{margin:.4rem 0}"
    "@media(prefers-color-scheme:dark){body{color:#e9eef5;background:#0e1a2b}}"
)
_POLICY = "default-src 'none'; style-src 'self'; frame-ancestors 'none'"


def trust_page(root: Signed, desk: str) -> "WSGIApplication":
    """The application that hands out the desk's root and the steps to trust it, and nothing else.

    Parameters
    ----------
    root : Signed
        The desk's root.
    desk : str
        The address at which the desk is reached by phones.
    """
    files: dict[str, tuple[str, bytes]] = {
        "/": ("text/html; charset=utf-8", _page(root, desk).encode()),
        "/page.css": ("text/css", STYLE.encode()),
        "/desk.crt": ("application/x-x509-ca-cert", der_of(root)),
        "/desk.mobileconfig": ("application/x-apple-aspen-config", profile_of(root)),
    }

    def answer(environ: "WSGIEnvironment", start: "StartResponse") -> Iterable[bytes]:
        kind, body = files.get(environ["PATH_INFO"], ("text/plain", b""))
        heads = [
            ("Content-Type", kind), ("Content-Length", str(len(body))), ("Content-Security-Policy", _POLICY),
            ("X-Content-Type-Options", "nosniff"), ("Cache-Control", "no-store"),
        ]  # fmt: skip
        start("200 OK" if body else "404 Not Found", heads)
        return [body] if environ["REQUEST_METHOD"] != "HEAD" else []

    return answer


def _page(root: Signed, desk: str) -> str:
    said: Callable[[str], str] = lambda text: html.escape(translated(text))  # noqa: E731
    first = " ".join(fingerprint_of(root)[:4])
    android = (
        translated("Open the downloaded file, or find it under Settings, Security, Install a certificate, CA certificate."),
        translated(
            "The phone warns that somebody could watch its traffic. The certificate can speak for addresses of a network of your "
            "own alone, and its key never leaves the desk's computer."
        ),
        translated("It may ask for a screen lock."),
    )  # fmt: skip
    iphone = (
        translated("Open this page in Safari, tap the button and allow the download."),
        translated("In Settings, tap Profile Downloaded and install it."),
        translated("In Settings, General, About, Certificate Trust Settings, switch it on. Without this step it is not trusted."),
    )  # fmt: skip
    steps = [
        (translated("Android"), "/desk.crt", translated("Get the certificate"), android),
        (translated("iPhone and iPad"), "/desk.mobileconfig", translated("Get the profile"), iphone),
    ]
    parts = [
        f"<h1>{said(in_english('Trust this desk'))}</h1>",
        f"<p>{said(in_english('This phone will believe this one computer from now on. Do it once.'))}</p>",
        f"<p>{said(in_english('The desk shows these first groups too. Where they differ, stop here and ask.'))}<br>"
        f"<code>{first}</code></p>",
    ]
    for name, file, button, each in steps:
        items = "".join(f"<li>{html.escape(one)}</li>" for one in each)
        parts.append(
            f'<h2>{html.escape(name)}</h2><a class="big" href="{file}">{html.escape(button)}</a><ol>{items}</ol>'
        )
    home = in_english(
        "Put it on the home screen from the menu of the browser; names of menus differ from phone to phone."
    )
    parts.append(
        f'<h2>{said(in_english("Then"))}</h2><a class="big" href="{html.escape(desk)}">{said(in_english("Open the desk"))}</a>'
        f"<p>{said(home)}</p>"
    )
    head = (
        '<meta charset="utf-8"><meta name="viewport" content="width=device-width"><link rel="stylesheet" href="/page.css">'
        f"<title>{said(in_english('Trust this desk'))}</title>"
    )
    return f'<!doctype html><html lang="{way_in_force().language}">{head}{"".join(parts)}</html>'
