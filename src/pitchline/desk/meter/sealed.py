"""A secret kept so that the database alone does not tell it: sealed with a key made of the desk's own."""

from base64 import urlsafe_b64encode
from functools import lru_cache
from hashlib import scrypt

from cryptography.fernet import Fernet, InvalidToken
from django.conf import settings


@lru_cache(maxsize=2)
def _fernet(key: str) -> Fernet:
    made = scrypt(key.encode(), salt=b"pitchline hours feeds", n=2**12, r=8, p=1, dklen=32)
    return Fernet(urlsafe_b64encode(made))


def sealed(secret: str) -> str:
    """The secret as it is kept; empty where there is none."""
    return _fernet(settings.SECRET_KEY).encrypt(secret.encode()).decode() if secret else ""


def opened(kept: str) -> str:
    """The secret; empty where there is none, or where the desk's key is another by now."""
    try:
        return _fernet(settings.SECRET_KEY).decrypt(kept.encode()).decode() if kept else ""
    except InvalidToken:
        return ""
