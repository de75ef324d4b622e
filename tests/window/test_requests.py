"""Who may ask, and for what: strangers, forged pages and nonsense get a short refusal and press nothing."""

from __future__ import annotations

import http.client
import socket
import time
from collections.abc import Iterator
from dataclasses import dataclass
from urllib.parse import urlsplit

import pytest

from airladder.devices.clock import Clock
from airladder.devices.window import Window
from airladder.devices.window.server import MOST_CONNECTIONS
from airladder.faults import Fault
from chromium import wait_for
from window.conftest import Desk
from window.reader import Reader

JSON = "application/json"


@dataclass
class Answer:
    """What came back."""

    status: int
    headers: dict[str, str]
    text: str


def ask(desk: Desk, method: str, name: str, body: bytes | None = None, **headers: str) -> Answer:
    """Ask for `name` below the desk's address; a header with an empty text is left away."""
    where = urlsplit(desk.window.address)
    path = name if name.startswith("/") else where.path + name
    sent = {"Host": where.netloc, **{key.replace("_", "-"): value for key, value in headers.items()}}
    line = http.client.HTTPConnection(where.hostname or "", where.port, timeout=5)
    line.putrequest(method, path, skip_host=True, skip_accept_encoding=True)
    if body is not None:
        sent = {"Content-Length": str(len(body)), **sent}
    for key, value in sent.items():
        if value:
            line.putheader(key, value)
    line.endheaders(body)
    got = line.getresponse()
    answer = Answer(got.status, dict(got.headers), got.read().decode())
    line.close()
    return answer


def press(desk: Desk, body: bytes, **headers: str) -> Answer:
    """As the page itself would send it, but for what is said otherwise."""
    origin = desk.window.address.rsplit("/", 2)[0]
    return ask(desk, "POST", "edge", body, **{"Origin": origin, "Content_Type": JSON, **headers})


@pytest.fixture
def page(desk: Desk) -> Iterator[str]:
    """The name of a page that is there."""
    reader = Reader(desk.window.address)
    yield str(reader.next("page"))
    reader.close()


def edge(page: str, button: str = "ok", down: str = "true") -> bytes:
    return f'{{"page": "{page}", "button": "{button}", "down": {down}}}'.encode()


def test_the_page_brings_all_that_it_needs(desk: Desk) -> None:
    for name, kind in (("", "text/html"), ("page.css", "text/css"), ("page.js", "text/javascript")):
        answer = ask(desk, "GET", name)
        assert (answer.status, answer.headers["Content-Type"]) == (200, f"{kind}; charset=utf-8")
        assert "$" not in answer.text.replace("${", "")


def test_every_answer_forbids_what_is_not_needed(desk: Desk) -> None:
    for name in ("", "page.js", "history", "nothing", "/"):
        headers = ask(desk, "GET", name).headers
        policy = headers["Content-Security-Policy"]
        assert policy.startswith("default-src 'none'; script-src 'self';")
        assert "frame-ancestors 'none'" in policy
        assert headers["X-Content-Type-Options"] == "nosniff"
        assert headers["Referrer-Policy"] == "no-referrer"
        assert headers["Cache-Control"] == "no-store"
        assert not [key for key in headers if key.lower().startswith("access-control")]


def test_a_press_of_the_page_itself_is_taken(desk: Desk, page: str) -> None:
    assert press(desk, edge(page)).status == 204
    assert press(desk, edge(page, down="false")).status == 204
    desk.until(("ok", True), ("ok", False))


def test_the_same_edge_again_says_nothing_new(desk: Desk, page: str) -> None:
    for down in ("false", "true", "true", "false", "false"):
        assert press(desk, edge(page, down=down)).status == 204
    desk.until(("ok", True), ("ok", False))


@pytest.mark.parametrize("host", ["", "evil.example", "evil.example:{port}", "127.0.0.1", "127.0.0.1:1"])
def test_a_name_that_only_leads_here_is_refused(desk: Desk, page: str, host: str) -> None:
    """DNS rebinding: the browser takes us for evil.example, and lets its scripts read what we answer."""
    host = host.format(port=urlsplit(desk.window.address).port)
    for name in ("", "sights", "history", "page.js"):
        assert ask(desk, "GET", name, Host=host).status == 403
    assert press(desk, edge(page), Host=host, Origin=f"http://{host}").status == 403
    assert desk.edges == []


@pytest.mark.parametrize(
    "path", ["/", "/page.js", "/wrong/", "/wrong/edge", "//edge", "/{token}", "/{token}x/", "/%C3%A9/"]
)
def test_without_the_secret_word_there_is_nothing(desk: Desk, page: str, path: str) -> None:
    token = urlsplit(desk.window.address).path.strip("/")
    path = path.format(token=token)
    assert ask(desk, "GET", path).status == 403
    origin = desk.window.address.rsplit("/", 2)[0]
    assert ask(desk, "POST", path, edge(page), Origin=origin, Content_Type=JSON).status == 403
    assert desk.edges == []


@pytest.mark.parametrize("origin", ["", "null", "http://evil.example", "https://127.0.0.1", "http://127.0.0.1"])
def test_a_press_from_another_page_is_refused(desk: Desk, page: str, origin: str) -> None:
    assert press(desk, edge(page), Origin=origin).status == 403
    assert desk.edges == []


@pytest.mark.parametrize(
    "body",
    [
        b"",
        b"\xff\xfe\x00",
        b"[]",
        b"null",
        b'"ok"',
        b'{"page": "%s"}',
        b'{"page": "%s", "button": "ok", "down": 1}',
        b'{"page": "%s", "button": "ok", "down": true, "t": 3}',
        b'{"page": "%s", "button": "fire", "down": true}',
        b'{"page": "%s", "button": ["ok"], "down": true}',
        b'{"page": 7, "button": "ok", "down": true}',
        b"[" * 200,
        b" " * 300,
    ],
)
def test_what_is_no_edge_is_refused_in_a_sentence(desk: Desk, page: str, body: bytes) -> None:
    answer = press(desk, body.replace(b"%s", page.encode()))
    assert (answer.status, answer.text[:20]) == (400, "This is no edge of a")
    assert desk.edges == []


@pytest.mark.parametrize("length", ["", "-1", "x", "9" * 5000, "²"])
def test_a_length_that_is_none_is_refused(desk: Desk, page: str, length: str) -> None:
    length = length.encode().decode("latin-1")
    assert press(desk, edge(page), Content_Length=length).status == 400
    assert desk.edges == []


def test_a_form_of_another_page_is_no_edge(desk: Desk, page: str) -> None:
    """A browser sends such a form to anybody without asking; JSON it does not (Fetch standard, CORS-safelisted)."""
    assert press(desk, edge(page), Content_Type="text/plain").status == 400


def test_a_page_that_is_not_there_presses_nothing(desk: Desk) -> None:
    assert press(desk, edge("nobody")).status == 409
    assert desk.edges == []


def test_where_nobody_takes_presses_none_is_kept(desk: Desk, page: str) -> None:
    desk.hands.close()
    assert press(desk, edge(page)).status == 409
    assert desk.edges == []


def test_other_methods_are_not_known(desk: Desk) -> None:
    assert {ask(desk, method, "").status for method in ("PUT", "DELETE", "OPTIONS", "TRACE")} == {501}


def test_a_port_that_is_taken_is_said_in_a_sentence(desk: Desk) -> None:
    port = urlsplit(desk.window.address).port or 0
    with pytest.raises(
        Fault, match=rf"^Port {port} of this computer cannot be had \(.*\); end what uses it, or .*\.$"
    ):
        Window(lambda: "", Clock(), port)


def test_a_number_that_is_no_port_is_said_in_a_sentence() -> None:
    with pytest.raises(Fault, match=r"^Port 70000 of this computer cannot be had"):
        Window(lambda: "", Clock(), 70000)


def test_only_this_computer_is_listened_to_and_each_window_has_a_word_of_its_own(desk: Desk) -> None:
    other = Window(lambda: "", Clock())
    try:
        ours, theirs = urlsplit(desk.window.address), urlsplit(other.address)
        assert ours.hostname == theirs.hostname == "127.0.0.1"
        assert ours.path != theirs.path
        assert len(ours.path) > 20
    finally:
        other.close()
    with pytest.raises(ConnectionRefusedError):
        socket.create_connection((theirs.hostname, theirs.port or 0), timeout=1)


def test_a_stranger_who_says_nothing_is_hung_up_on(desk: Desk) -> None:
    where = urlsplit(desk.window.address)
    with socket.create_connection((where.hostname or "", where.port or 0), timeout=5) as line:
        line.sendall(b"GET / HTTP/1.1\r\nHost:")
        assert line.recv(1) == b""


def test_a_crowd_of_strangers_is_bounded_and_leaves_room_again(desk: Desk) -> None:
    """One connection too many is closed at once, while those before it may still say something (2 s)."""
    where = urlsplit(desk.window.address)

    def connected() -> socket.socket:
        return socket.create_connection((where.hostname or "", where.port or 0), timeout=5)

    crowd = [connected() for _ in range(MOST_CONNECTIONS)]
    began = time.monotonic()
    with connected() as further:
        assert further.recv(1) == b""
    assert time.monotonic() - began < 1.0
    for line in crowd:
        line.close()

    def answered() -> bool:
        try:
            return ask(desk, "GET", "").status == 200
        except OSError:
            return False

    wait_for(answered, "the page answers again")
