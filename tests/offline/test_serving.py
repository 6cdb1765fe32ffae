"""The loopback server, asked by the standard library's client."""

import gzip
import http.client
import socket
import subprocess
import sys
from contextlib import closing
from pathlib import Path

import pytest

from generator.content_types import UnknownContentTypeError, content_type
from generator.copy_stamp import stamped, version_of
from generator.not_found import rerooted
from generator.serving import SiteServer

ROOT = Path(__file__).parents[2]


@pytest.fixture(params=["/", "/ref/"])
def server(request, site):
    with SiteServer(site, prefix=request.param) as started:
        yield started


def ask(
    server: SiteServer, path: str, method: str = "GET", **headers: str
) -> tuple[http.client.HTTPResponse, bytes]:
    """Ask for a path below the site's root; gives the answer and its body."""
    connection = http.client.HTTPConnection("127.0.0.1", server.port, timeout=10)
    named = {name.replace("_", "-"): value for name, value in headers.items()}
    connection.request(method, server.prefix + path, headers=named)
    response = connection.getresponse()
    body = response.read()
    connection.close()
    return response, body


def test_page_at_its_folder(server, site):
    response, body = ask(server, "units/")

    assert (response.status, body) == (200, (site / "units/index.html").read_bytes())
    assert response.headers["Content-Type"] == "text/html; charset=utf-8"


def test_folder_without_slash_is_sent_on(server):
    response, _ = ask(server, "units")

    assert response.status == 301
    assert response.headers["Location"] == f"{server.prefix}units/"


@pytest.mark.parametrize("path", ["", "units", "nothing", "copy.json", "runtime/library.zip"])
def test_policy_goes_out_on_every_answer(server, path):
    response, _ = ask(server, path)

    assert response.headers["Content-Security-Policy"] == server.policy
    assert response.headers["X-Content-Type-Options"] == "nosniff"


def test_text_is_compressed_only_for_who_accepts_it(server, site):
    script = stamped("browser/offline.js", version_of(site))
    plain, body = ask(server, script)
    packed, packed_body = ask(server, script, Accept_Encoding="gzip")
    archive, _ = ask(server, "runtime/library.zip", Accept_Encoding="gzip")

    assert plain.headers["Content-Encoding"] is None
    assert packed.headers["Content-Encoding"] == "gzip"
    assert gzip.decompress(packed_body) == body == (site / script).read_bytes()
    assert archive.headers["Content-Encoding"] is None


def test_unchanged_file_is_not_sent_again(server):
    first, _ = ask(server, "units/")
    second, body = ask(server, "units/", If_None_Match=first.headers["ETag"])

    assert (second.status, body) == (304, b"")


@pytest.mark.parametrize(
    ("asked", "first", "last"),
    [("bytes=0-9", 0, 9), ("bytes=1199990-", 1199990, 1199999), ("bytes=5-9999999", 5, 1199999)],
)
def test_range(server, site, asked, first, last):
    response, body = ask(server, "runtime/library.zip", Range=asked)

    assert response.status == 206
    assert response.headers["Content-Range"] == f"bytes {first}-{last}/1200000"
    assert body == (site / "runtime/library.zip").read_bytes()[first : last + 1]


def test_range_behind_the_end(server):
    response, _ = ask(server, "runtime/library.zip", Range="bytes=1200000-")

    assert response.status == 416


def test_head_has_no_body(server):
    response, body = ask(server, "units/", method="HEAD")

    assert (response.status, body) == (200, b"")
    assert int(response.headers["Content-Length"]) > 0


@pytest.mark.parametrize(
    "path", ["nothing", "a/b/nothing/", "browser", "../conftest.py", "%2e%2e/x"]
)
def test_unknown_address_shows_the_sites_own_page(server, path):
    response, body = ask(server, path)

    assert response.status == 404
    assert b"404 - Not found" in body
    assert f'href="{server.prefix}assets/stylesheets/main.'.encode() in body


def test_address_outside_the_prefix(site):
    with SiteServer(site, prefix="/ref/") as server:
        connection = http.client.HTTPConnection("127.0.0.1", server.port, timeout=10)
        with closing(connection):
            connection.request("GET", "/units/")
            assert connection.getresponse().status == 404


def test_sitemap_names_this_address(server, site):
    (site / "sitemap.xml").write_text(
        "<urlset><url><loc>https://reference.example/units/</loc></url></urlset>"
    )
    _, body = ask(server, "sitemap.xml")

    assert body.decode() == f"<urlset><url><loc>{server.url}units/</loc></url></urlset>"


def test_closed_server_cuts_open_connections_and_opens_again(site):
    server = SiteServer(site).open()
    with socket.create_connection(("127.0.0.1", server.port), timeout=10) as connection:
        connection.sendall(
            f"HEAD /units/ HTTP/1.1\r\nHost: 127.0.0.1:{server.port}\r\n\r\n".encode()
        )
        assert connection.recv(65536).startswith(b"HTTP/1.1 200 ")
        server.close()
        assert connection.recv(65536) == b""

    with pytest.raises(ConnectionRefusedError):
        socket.create_connection(("127.0.0.1", server.port), timeout=10)
    with server:
        assert ask(server, "units/")[0].status == 200


def test_listens_on_loopback_only(server):
    assert server.url.startswith("http://127.0.0.1:")


@pytest.mark.parametrize("slash", ["/", "%2F", "%2f%2f"])
def test_a_file_outside_the_site_is_not_there(server, site, tmp_path, slash):
    outside = tmp_path / "outside.txt"
    outside.write_text("not for a browser")
    (site / "way-out.txt").symlink_to(outside)

    for path in (slash + str(outside).lstrip("/").replace("/", slash), "way-out.txt"):
        response, body = ask(server, path)
        assert response.status == 404
        assert b"not for a browser" not in body


@pytest.mark.parametrize("name", ["elsewhere.example", "127.0.0.1.elsewhere.example", "", "[::1]"])
def test_another_name_is_not_ours(server, name):
    """A page elsewhere could otherwise read the site by a name that it points at this machine."""
    for host in (name, f"{name}:{server.port}"):
        response, body = ask(server, "units/", Host=host)
        assert response.status == 421
        assert b"<" not in body


@pytest.mark.parametrize("name", ["127.0.0.1", "localhost", "LOCALHOST"])
def test_our_own_names_are_answered_on_our_port_only(server, name):
    assert ask(server, "units/", Host=f"{name}:{server.port}")[0].status == 200
    assert ask(server, "units/", Host=f"{name}:{server.port + 1}")[0].status == 421
    assert ask(server, "units/", Host=name)[0].status == 421


def test_no_other_site_may_frame_a_page(server, site):
    response, _ = ask(server, "units/")

    assert response.headers["Content-Security-Policy"].endswith("; frame-ancestors 'self'")
    # In a page itself browsers ignore it, and complain.
    assert b"frame-ancestors" not in (site / "units/index.html").read_bytes()
    assert "frame-ancestors 'self'" in (site / "service-worker.js").read_text()


def test_a_taken_port_is_one_sentence_before_the_build():
    with socket.create_server(("127.0.0.1", 0)) as other:
        port = other.getsockname()[1]
        begun = subprocess.run(
            [sys.executable, str(ROOT / "build"), "serve", "--port", str(port)],
            stdin=subprocess.DEVNULL,
            capture_output=True,
            text=True,
            check=False,
        )

    assert begun.returncode == 1
    assert f"Port {port} cannot be used" in begun.stderr
    assert "serve --port 8123" in begun.stderr
    assert "Traceback" not in begun.stderr
    assert "Pages:" not in begun.stdout


def test_prefix_needs_its_slashes(site):
    with pytest.raises(ValueError, match="prefix is 'ref'"):
        SiteServer(site, prefix="ref")


def test_unknown_ending_is_refused():
    with pytest.raises(UnknownContentTypeError, match=r"notes\.docx"):
        content_type("a/notes.docx")


def test_not_found_page_built_for_a_sub_path():
    page = '<a href="/built/units/">x</a><script>{"base": "/built/", "n": 1}</script>'

    assert rerooted(page, root="/ref/") == (
        '<a href="/ref/units/">x</a><script>{"base": "/ref/", "n": 1}</script>'
    )
