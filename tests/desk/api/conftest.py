"""Asking the API as a script does."""

import json
import uuid

import pytest


@pytest.fixture
def send():
    """A factory of writes: method, address under /api/v1, body; a new key each time unless one is given."""

    def make(client, method, address, body=None, key=None, content_type="application/json", **headers):
        text = body if isinstance(body, str | bytes) else json.dumps({} if body is None else body)
        headers = {"Idempotency-Key": str(key or uuid.uuid4())} | headers
        return getattr(client, method)(f"/api/v1{address}", data=text, content_type=content_type, headers=headers)

    return make


@pytest.fixture
def post(client, send):
    """The same for POST from the one person of a desk without login."""

    def make(address, body=None, **rest):
        return send(client, "post", address, body, **rest)

    return make


@pytest.fixture
def get(client):
    """A factory of reads."""

    def make(address, **asked):
        return client.get(f"/api/v1{address}", asked)

    return make


@pytest.fixture
def priced(actor):
    """The yard has an invented price list."""
    from pitchline.desk.prices import enter_prices

    lines = [
        "currency,EUR", "labour per hour,60", "source,invented", "",
        "job,part,per,price low,price usual,price high,labour hours",
        "turn,bush,each,800,900,1000,8", "replace,chain,each,6000,6500,7000,10",
        "replace,bottom_roller,each,500,550,600,2", "replace,sprocket,each,800,850,900,4",
        "reshoe,shoe,each,4000,4200,4500,12",
    ]  # fmt: skip
    content = "\n".join(lines).encode() + b"\n"
    enter_prices(actor, name="prices.csv", content=content)
    return content
