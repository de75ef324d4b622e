"""Who may ask, and what counts as an edge of a button: nothing that comes in is trusted.

Every browser tab, and every other user of this computer, can reach the loopback. So an address holds a secret word;
a request must name this very place as its host, since a stranger's name may be made to lead here (DNS rebinding);
and what presses a button must say that it comes from this page (the Origin header, RFC 6454).
"""

from __future__ import annotations

import hmac
import json
from email.message import Message

from airladder.practice.presses import Button

LOOPBACK = "127.0.0.1"
MOST_BYTES = 256
"""Of the words of an edge."""

HEADERS = {
    "Content-Security-Policy": (
        "default-src 'none'; script-src 'self'; style-src 'self' 'unsafe-inline'; connect-src 'self'; img-src data:; "
        "base-uri 'none'; form-action 'none'; frame-ancestors 'none'"
    ),
    "Cache-Control": "no-store",
    "Cross-Origin-Opener-Policy": "same-origin",
    "Cross-Origin-Resource-Policy": "same-origin",
    "Referrer-Policy": "no-referrer",
    "X-Content-Type-Options": "nosniff",
}
"""Of every answer. Styles may stand in the plots; no script may stand anywhere but in its file."""


def is_our_host(headers: Message, port: int) -> bool:
    """Whether the request names this place, and not another name that leads here."""
    return headers.get("Host", "") in (f"{LOOPBACK}:{port}", f"localhost:{port}")


def is_our_origin(headers: Message) -> bool:
    """Whether a page of this place asks; told of a request whose host is ours."""
    return headers.get("Origin", "") == f"http://{headers.get('Host', '')}"


def name_in(path: str, token: str) -> str | None:
    """What is asked for, in a path that begins with our secret word; None for any other path."""
    _, _, rest = path.partition("/")
    word, slash, name = rest.partition("/")
    is_ours = hmac.compare_digest(word.encode("utf-8", "replace"), token.encode())
    return name if is_ours and slash else None


def edge_in(body: bytes) -> tuple[str, Button, bool]:
    """The page, the button, and whether it went down.

    Raises
    ------
    ValueError : when `body` is anything but these three as JSON.
    """
    words = json.loads(body)
    if not isinstance(words, dict) or words.keys() != {"page", "button", "down"}:
        raise ValueError("an edge is a page, a button, and down or not")
    page, down = words["page"], words["down"]
    if not isinstance(page, str) or not isinstance(down, bool):
        raise ValueError("a page is a word, and down is true or false")
    return page, Button(words["button"]), down
