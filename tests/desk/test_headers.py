"""The content policy is on every answer, and no page needs what it forbids."""

import re

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile

from pitchline.desk.photos.models import Attachment


@pytest.fixture
def pages(client, machine, begin):
    """Every kind of page, as (address, text)."""
    sheet = begin(machine)
    sent = {"files": SimpleUploadedFile("list.csv", b"name,kind,hours\nA,dozer,1\n,,\nB,cart,2\n")}
    listed = client.post("/bring/", sent)["Location"]
    sent = {"files": SimpleUploadedFile("notes.txt", b"x"), "caption": "A note"}
    client.post(f"/machines/{machine.pk}/photos/send/", sent)
    kept = Attachment.objects.get().pk
    base = f"/machines/{machine.pk}/"
    addresses = [
        "/", "/machines/new/", "/bring/", "/prices/", base, f"{base}?side=right", f"{base}about/", f"{base}limits/",
        f"{base}ground/", f"{base}ground/?soil=mud",
        f"{base}file/", f"{base}changes/", f"{base}parts/bush/left/", f"/walk-rounds/{sheet}/",
        f"/walk-rounds/{sheet}/at/bottom_roller/left/1/", "/nowhere/", listed, f"{listed}?what=refused", "/undo/",
        "/?as=chart", "/?choose=all", f"{base}photos/", f"{base}photos/?part=bush/left#add", f"/photos/{kept}/",
    ]  # fmt: skip
    return [(address, client.get(address)) for address in addresses]


def test_policy_forbids_everything_inline_and_from_elsewhere(pages):
    for address, response in pages:
        policy = response["Content-Security-Policy"]
        assert "default-src 'none'" in policy, address
        assert "unsafe" not in policy
        assert "http" not in policy


def test_no_page_has_inline_script_style_or_handler(pages):
    for address, response in pages:
        text = response.content.decode()
        assert not re.search(r"<style|\sstyle=|\son[a-z]+=|javascript:", text), address
        loaded = [
            tag for tag in re.findall(r"<script[^>]*>", text) if "application/json" not in tag
        ]  # data, never run
        assert not [tag for tag in loaded if "src=" not in tag], address


def test_every_page_has_a_title_a_language_and_one_first_heading(pages):
    for address, response in pages:
        text = response.content.decode()
        assert '<html lang="en">' in text, address
        assert re.search(r"<title>\s*\S", text), address
        assert len(re.findall(r"<h1[ >]", text)) == 1, address


def test_every_input_has_a_label(pages):
    for address, response in pages:
        text = response.content.decode()
        labelled = set(re.findall(r'<label for="([^"]+)"', text))
        inside = re.sub(r"<label.*?</label>", "", text, flags=re.DOTALL)
        for tag in re.findall(r"<(?:input|select|textarea)\b[^>]*>", inside):
            if 'type="hidden"' in tag or "aria-label=" in tag:
                continue
            found = re.search(r'\bid="([^"]+)"', tag)
            assert found is not None, (address, tag)
            assert found[1] in labelled, (address, tag)


def test_ids_are_not_used_twice(pages):
    for address, response in pages:
        ids = re.findall(r'\sid="([^"]+)"', response.content.decode())
        assert sorted(ids) == sorted(set(ids)), address
