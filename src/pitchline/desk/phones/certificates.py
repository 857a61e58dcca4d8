"""The certificates by which a phone knows this desk: a root of the desk's own, and what it signs for today's addresses.

The root may sign for names and addresses of a network of one's own and for nothing else, so whoever steals it can play no
bank where a phone heeds that (RFC 5280, 4.2.1.10). What phones ask of the other one: a name or address as alternative name,
use for servers said, no more than 825 days (Apple, support page 103769); 397 here, and anew well before.
"""

import datetime as dt
import ipaddress
import os
import plistlib
import secrets
import uuid
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

from cryptography import x509
from cryptography.hazmat.primitives import hashes, serialization
from cryptography.hazmat.primitives.asymmetric import ec
from cryptography.x509.oid import ExtendedKeyUsageOID, NameOID

from pitchline.desk.phones.network import NETWORKS

ROOT_YEARS = 10
LEAF_DAYS = 397
ANEW_DAYS = 60
"""So many days before its end the desk signs a new one: no phone notices."""
_LEAF = "This pitchline desk"
"""No name of a computer: OpenSSL would hold an address standing here against the names the root may sign for."""
_LETTERS = "BCDFGHJKLMNPQRSTVWXZ"


@dataclass(frozen=True, slots=True)
class Signed:
    """A certificate with its key."""

    certificate: x509.Certificate
    key: ec.EllipticCurvePrivateKey


def root_of(folder: Path, now: dt.datetime) -> Signed:
    """The desk's root; made where there is none yet, and never replaced by itself: every phone would have to be told.

    Parameters
    ----------
    folder : Path
        Where it is kept, for its owner alone.
    now : datetime.datetime
        The moment, with its time zone.
    """
    found = _read(folder, "root")
    if found is None:
        key = ec.generate_private_key(ec.SECP256R1())
        name = _named(f"pitchline desk {''.join(secrets.choice(_LETTERS) for _ in range(6))}")
        built = (
            _begun(name, name, key, now, dt.timedelta(days=365 * ROOT_YEARS))
            .add_extension(x509.BasicConstraints(ca=True, path_length=0), critical=True)
            .add_extension(_uses(signs=True), critical=True)
            .add_extension(x509.SubjectKeyIdentifier.from_public_key(key.public_key()), critical=False)
            .add_extension(
                x509.NameConstraints(
                    [x509.DNSName("local"), *(x509.IPAddress(one) for one in NETWORKS)], excluded_subtrees=None
                ),
                critical=True,
            )
        )
        found = Signed(built.sign(key, hashes.SHA256()), key)
        _keep(folder, "root", found)
    return found


def leaf_of(
    folder: Path, root: Signed, names: Sequence[str], addresses: Sequence[str], now: dt.datetime
) -> Signed:
    """What the desk greets phones with; signed anew where it is for other addresses, by another root, or near its end.

    Parameters
    ----------
    folder : Path
        Where it is kept.
    root : Signed
        By whom it is signed.
    names, addresses : sequence of str
        What a phone may call the desk by: names that end in .local, addresses in networks of one's own.
    now : datetime.datetime
        The moment, with its time zone.
    """
    found, wanted = _read(folder, "desk"), _alternatives(names, addresses)
    if found is not None and _holds(found.certificate, root, wanted, now):
        return found
    key = ec.generate_private_key(ec.SECP256R1())
    built = (
        _begun(_named(_LEAF), root.certificate.subject, key, now, dt.timedelta(days=LEAF_DAYS))
        .add_extension(x509.BasicConstraints(ca=False, path_length=None), critical=True)
        .add_extension(_uses(signs=False), critical=True)
        .add_extension(x509.ExtendedKeyUsage([ExtendedKeyUsageOID.SERVER_AUTH]), critical=False)
        .add_extension(wanted, critical=False)
        .add_extension(x509.SubjectKeyIdentifier.from_public_key(key.public_key()), critical=False)
        .add_extension(x509.AuthorityKeyIdentifier.from_issuer_public_key(root.key.public_key()), critical=False)
    )
    found = Signed(built.sign(root.key, hashes.SHA256()), key)
    _keep(folder, "desk", found)
    return found


def der_of(signed: Signed) -> bytes:
    """The certificate as an Android phone takes it."""
    return signed.certificate.public_bytes(serialization.Encoding.DER)


def profile_of(root: Signed) -> bytes:
    """The root as an iPhone takes it: a configuration profile that holds the certificate and nothing else."""
    name = root.certificate.subject.rfc4514_string().removeprefix("CN=")
    mark = root.certificate.fingerprint(hashes.SHA256()).hex()
    inner, outer = (uuid.uuid5(uuid.NAMESPACE_OID, f"{mark} {which}") for which in ("root", "profile"))
    kept = {
        "PayloadType": "com.apple.security.root", "PayloadVersion": 1, "PayloadIdentifier": f"pitchline.{inner}",
        "PayloadUUID": str(inner).upper(), "PayloadDisplayName": name, "PayloadContent": der_of(root),
    }  # fmt: skip
    whole = {
            "PayloadType": "Configuration",
            "PayloadVersion": 1,
            "PayloadIdentifier": f"pitchline.{outer}",
            "PayloadUUID": str(outer).upper(),
            "PayloadDisplayName": name,
            "PayloadContent": [kept],
    }  # fmt: skip
    return plistlib.dumps(whole)


def fingerprint_of(signed: Signed) -> tuple[str, ...]:
    """SHA-256 of the certificate, in sixteen groups of four as phones show it to be compared."""
    whole = signed.certificate.fingerprint(hashes.SHA256()).hex().upper()
    return tuple(whole[at : at + 4] for at in range(0, len(whole), 4))


def paths_in(folder: Path) -> tuple[Path, Path]:
    """The files of what the desk greets with: certificate and key."""
    return folder / "desk.pem", folder / "desk.key"


def _named(text: str) -> x509.Name:
    return x509.Name([x509.NameAttribute(NameOID.COMMON_NAME, text)])


def _begun(
    subject: x509.Name, issuer: x509.Name, key: ec.EllipticCurvePrivateKey, now: dt.datetime, lasts: dt.timedelta
) -> x509.CertificateBuilder:
    return (
        x509.CertificateBuilder()
        .subject_name(subject)
        .issuer_name(issuer)
        .public_key(key.public_key())
        .serial_number(x509.random_serial_number())
        .not_valid_before(now - dt.timedelta(days=1))  # clocks of phones are not always right
        .not_valid_after(now + lasts)
    )


def _uses(signs: bool) -> x509.KeyUsage:
    return x509.KeyUsage(
        digital_signature=not signs, key_cert_sign=signs, crl_sign=signs, content_commitment=False,
        key_encipherment=False, data_encipherment=False, key_agreement=False, encipher_only=False, decipher_only=False,
    )  # fmt: skip


def _alternatives(names: Sequence[str], addresses: Sequence[str]) -> x509.SubjectAlternativeName:
    by_address = [x509.IPAddress(ipaddress.ip_address(one)) for one in addresses]
    return x509.SubjectAlternativeName([*map(x509.DNSName, names), *by_address])


def _holds(
    certificate: x509.Certificate, root: Signed, wanted: x509.SubjectAlternativeName, now: dt.datetime
) -> bool:
    said = certificate.extensions.get_extension_for_class(x509.SubjectAlternativeName).value
    by = certificate.extensions.get_extension_for_class(x509.AuthorityKeyIdentifier).value
    ours = x509.AuthorityKeyIdentifier.from_issuer_public_key(root.key.public_key())
    left = certificate.not_valid_after_utc - now
    return said == wanted and by == ours and left > dt.timedelta(days=ANEW_DAYS)


def _read(folder: Path, name: str) -> Signed | None:
    try:
        certificate = x509.load_pem_x509_certificate((folder / f"{name}.pem").read_bytes())
        key = serialization.load_pem_private_key((folder / f"{name}.key").read_bytes(), password=None)
    except FileNotFoundError:
        return None
    if not isinstance(key, ec.EllipticCurvePrivateKey):
        raise ValueError(f"{folder / name}.key is not what this desk made")
    return Signed(certificate, key)


def _keep(folder: Path, name: str, signed: Signed) -> None:
    """Whole or not at all, the key first: a certificate whose key is lost would be believed and useless."""
    folder.mkdir(mode=0o700, exist_ok=True)
    key = signed.key.private_bytes(
        serialization.Encoding.PEM, serialization.PrivateFormat.PKCS8, serialization.NoEncryption()
    )
    certificate = signed.certificate.public_bytes(serialization.Encoding.PEM)
    for file, content in ((folder / f"{name}.key", key), (folder / f"{name}.pem", certificate)):
        beside = file.with_suffix(f"{file.suffix}.new")
        beside.unlink(missing_ok=True)
        with os.fdopen(os.open(beside, os.O_WRONLY | os.O_CREAT | os.O_EXCL, 0o600), "wb") as stream:
            stream.write(content)
        beside.replace(file)
