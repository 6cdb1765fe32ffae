"""Cells of CSV (RFC 4180)."""

# A table program would take a cell that begins so for a formula.
_FORMULA = ("=", "+", "-", "@", "\t", "\r")


def cell(text: str) -> str:
    """A cell that every table program takes as text.

    >>> cell("=1+1")
    "'=1+1"
    >>> cell('say "a", b')
    '"say ""a"", b"'
    """
    plain_text = f"'{text}" if text.lstrip(" ").startswith(_FORMULA) else text
    if any(sign in plain_text for sign in ',"\r\n'):
        return '"' + plain_text.replace('"', '""') + '"'
    return plain_text
