"""The content security policy: what it allows, what stops the build."""

import re
import subprocess
from pathlib import Path

import pytest

from generator.policy import PolicyError, content_security_policy, write_policy


def page(folder: Path, body: str, name: str = "index.html") -> Path:
    """A page with this in its body."""
    file = folder / name
    file.parent.mkdir(parents=True, exist_ok=True)
    file.write_text(f'<!doctype html>\n<html><head><meta charset="utf-8"></head>{body}</html>\n')
    return file


def openssl_hash(text: str) -> str:
    """The hash as the openssl command computes it, apart from our code."""
    digest = subprocess.run(
        "openssl dgst -sha256 -binary | openssl base64 -A",
        shell=True,
        input=text.encode(),
        capture_output=True,
        check=True,
    )
    return digest.stdout.decode()


def test_inline_scripts_of_all_pages_are_allowed_by_hash(tmp_path):
    page(tmp_path, "<script>let a = 1 < 2 && '</b>';</script>")
    page(tmp_path, "<script type=module>let b\n</script><style>p{margin:0}</style>", "a/b.html")

    policy = content_security_policy(tmp_path)

    for text in ("let a = 1 < 2 && '</b>';", "let b\n"):
        assert f"'sha256-{openssl_hash(text)}'" in re.findall("script-src ([^;]*)", policy)[0]
    assert f"style-src 'self' 'sha256-{openssl_hash('p{margin:0}')}'" in policy


def test_nothing_unsafe_and_no_other_origin(tmp_path):
    page(tmp_path, "<script>1</script>")
    policy = content_security_policy(tmp_path)
    directives = dict(part.split(" ", 1) for part in policy.split("; "))

    assert directives.pop("default-src") == "'none'"
    assert "unsafe-inline" not in policy
    assert "'unsafe-eval'" not in policy
    for name, sources in directives.items():
        assert all(
            source in {"'self'", "'wasm-unsafe-eval'"}
            or source.startswith("'sha256-")
            or (name, source) == ("img-src", "data:")
            for source in sources.split()
        ), name


def test_data_blocks_and_files_need_no_hash(tmp_path):
    page(tmp_path, '<script type="application/json">{"a": 1}</script><script src="x.js"></script>')

    assert "sha256" not in content_security_policy(tmp_path)


def test_same_pages_same_policy(tmp_path):
    for name, script in {"a.html": "1", "b.html": "2", "c.html": "3"}.items():
        page(tmp_path / "one", f"<script>{script}</script>", name)
    for name, script in {"c.html": "1", "b.html": "3", "a.html": "2"}.items():
        page(tmp_path / "two", f"<script>{script}</script>", name)

    assert content_security_policy(tmp_path / "one") == content_security_policy(tmp_path / "two")


@pytest.mark.parametrize(
    ("body", "words"),
    [
        ('<p onclick="go()">', "<p> has an event handler attribute: onclick='go()'"),
        ('<td style="text-align: right">', "<td> has a style attribute: 'text-align: right'"),
        ('<a href=" JavaScript:go()">', "<a> has a javascript: address"),
        ('<script src="https://elsewhere.example/x.js"></script>', "from another origin"),
        ('<img src="//elsewhere.example/x.png">', "from another origin"),
        ('<link rel="preconnect" href="https://elsewhere.example">', "from another origin"),
    ],
)
def test_what_the_policy_would_drop_stops_the_build(tmp_path, body, words):
    page(tmp_path, f"\n{body}", "units/index.html")

    with pytest.raises(PolicyError, match=re.escape(words)) as caught:
        content_security_policy(tmp_path)
    assert "units/index.html, line 3: " in str(caught.value)


@pytest.mark.parametrize(
    "body",
    [
        '<a href="https://elsewhere.example/">',
        '<link rel="canonical" href="https://reference.example/">',
        '<img src="data:image/png;base64,AA==">',
    ],
)
def test_naming_another_address_is_no_fetch(tmp_path, body):
    page(tmp_path, body)

    content_security_policy(tmp_path)


def test_written_behind_the_charset_and_only_once(tmp_path):
    file = page(tmp_path, "<script>1</script>")
    policy = content_security_policy(tmp_path)
    write_policy(tmp_path, "default-src 'none'")
    write_policy(tmp_path, policy)

    text = file.read_text()
    assert (
        f'<meta charset="utf-8"><meta http-equiv="Content-Security-Policy" content="{policy}">'
        in text
    )
    assert text.count("http-equiv") == 1
    assert content_security_policy(tmp_path) == policy


def test_page_without_charset_is_named(tmp_path):
    (tmp_path / "bare.html").write_text("<p>")

    with pytest.raises(PolicyError, match=r"bare\.html has no <meta charset>"):
        write_policy(tmp_path, "default-src 'none'")
