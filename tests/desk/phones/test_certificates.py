"""The desk's certificates, held against somebody else's verifier (RFC 5280 by `cryptography`) and against what phones ask."""

import datetime as dt
import ipaddress
import plistlib
import stat

import pytest
from cryptography import x509
from cryptography.x509.oid import ExtendedKeyUsageOID
from cryptography.x509.verification import PolicyBuilder, Store, VerificationError

from pitchline.desk.phones.certificates import der_of, fingerprint_of, leaf_of, profile_of, root_of
from pitchline.desk.phones.network import is_own

NOW = dt.datetime(2026, 11, 30, 12, tzinfo=dt.UTC)
A_DAY = dt.timedelta(days=1)
NAMES, ADDRESSES = ("yard-pc.local",), ("192.168.4.20", "10.0.0.7")


@pytest.fixture
def folder(tmp_path):
    return tmp_path / "tls"


@pytest.fixture
def root(folder):
    return root_of(folder, NOW)


@pytest.fixture
def leaf(folder, root):
    return leaf_of(folder, root, NAMES, ADDRESSES, NOW)


def believed(root, leaf, subject, on=NOW):
    """Whether a browser that trusts the root believes a server to be who it says."""
    policy = PolicyBuilder().store(Store([root.certificate])).time(on)
    try:
        policy.build_server_verifier(subject).verify(leaf.certificate, [])
    except VerificationError:
        return False
    return True


@pytest.mark.parametrize(
    "subject", [x509.DNSName(NAMES[0]), *(x509.IPAddress(ipaddress.ip_address(one)) for one in ADDRESSES)]
)
def test_phone_that_trusts_the_root_believes_the_desk_by_each_name_and_address(root, leaf, subject):
    assert believed(root, leaf, subject)
    assert not believed(root, leaf, subject, NOW + 398 * A_DAY)


def test_nobody_else_is_believed(tmp_path, folder, root, leaf):
    assert not believed(root, leaf, x509.DNSName("other.local"))
    assert not believed(root, leaf, x509.IPAddress(ipaddress.ip_address("192.168.4.21")))
    another = root_of(tmp_path / "another", NOW)
    assert not believed(another, leaf, x509.DNSName(NAMES[0]))


@pytest.mark.parametrize(
    ("names", "addresses"), [(("bank.example",), ()), ((), ("203.0.113.9",)), (NAMES, ("203.0.113.9",))]
)
def test_root_that_was_stolen_cannot_speak_for_the_world(tmp_path, root, names, addresses):
    """Name constraints (RFC 5280, 4.2.1.10) of the root forbid names and addresses that lie outside a network of one's own."""
    forged = leaf_of(tmp_path / "forged", root, names, addresses, NOW)
    subject = x509.DNSName(names[0]) if names else x509.IPAddress(ipaddress.ip_address(addresses[0]))
    assert not believed(root, forged, subject)


def test_leaf_has_what_phones_ask(leaf):
    """Apple's support page 103769: alternative names, use for servers, SHA-2, at most 825 days."""
    found = leaf.certificate
    assert found.not_valid_after_utc - found.not_valid_before_utc <= dt.timedelta(days=825)
    assert found.not_valid_before_utc <= NOW - A_DAY  # a phone's clock may be behind
    uses = found.extensions.get_extension_for_class(x509.ExtendedKeyUsage).value
    assert list(uses) == [ExtendedKeyUsageOID.SERVER_AUTH]
    assert found.signature_hash_algorithm.name == "sha256"
    assert found.extensions.get_extension_for_class(x509.BasicConstraints).value.ca is False


def test_root_stays_and_leaf_is_signed_anew_only_where_it_has_to_be(folder, root, leaf):
    assert root_of(folder, NOW + 900 * A_DAY).certificate == root.certificate
    assert leaf_of(folder, root, NAMES, ADDRESSES, NOW + 300 * A_DAY).certificate == leaf.certificate
    near_its_end = leaf_of(folder, root, NAMES, ADDRESSES, NOW + 338 * A_DAY)
    assert near_its_end.certificate != leaf.certificate
    moved = leaf_of(folder, root, NAMES, ("192.168.4.99",), NOW + 338 * A_DAY)
    assert believed(root, moved, x509.IPAddress(ipaddress.ip_address("192.168.4.99")), NOW + 338 * A_DAY)


def test_keys_are_for_their_owner_alone(folder, leaf):
    for file in folder.iterdir():
        assert stat.S_IMODE(file.stat().st_mode) == 0o600, file.name
    assert stat.S_IMODE(folder.stat().st_mode) == 0o700


def test_what_phones_are_handed_is_the_root_and_no_key(root):
    assert x509.load_der_x509_certificate(der_of(root)) == root.certificate
    profile = plistlib.loads(profile_of(root))
    (inside,) = profile["PayloadContent"]
    assert inside["PayloadType"] == "com.apple.security.root"
    assert inside["PayloadContent"] == der_of(root)
    assert b"PRIVATE" not in profile_of(root)
    assert len("".join(fingerprint_of(root))) == 64


@pytest.mark.parametrize(
    ("address", "own"),
    [
        ("10.1.2.3", True), ("172.16.0.1", True), ("172.32.0.1", False), ("192.168.0.1", True), ("169.254.3.4", True),
        ("127.0.0.1", False), ("8.8.8.8", False), ("fd12::1", True), ("2001:db8::1", False), ("fe80::1%eth0", False),
    ],
)  # fmt: skip
def test_networks_of_ones_own(address, own):
    """RFC 1918, RFC 3927 and RFC 4193."""
    assert is_own(address) is own
