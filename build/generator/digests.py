"""The name of a file's content, as the service worker keys its store and large files are named."""

import base64
import hashlib


def content_name(content: bytes) -> str:
    """Give the SHA-256 of the content in base64url, without padding."""
    return base64.urlsafe_b64encode(hashlib.sha256(content).digest()).decode().rstrip("=")
