"""The theme's script is changed in its known places, or not at all."""

import pytest

from generator.theme_script import CHANGES, ThemeError, mend_theme_script

NAME = "bundle.0.min.js"


@pytest.fixture
def scripts(tmp_path):
    folder = tmp_path / "assets" / "javascripts"
    folder.mkdir(parents=True)
    return folder


def test_the_known_places_are_changed(tmp_path, scripts):
    (scripts / NAME).write_text(f"before({';'.join(CHANGES)})after")
    mend_theme_script(tmp_path)
    assert (scripts / NAME).read_text() == f"before({';'.join(CHANGES.values())})after"


@pytest.mark.parametrize("text", ["another way", ";".join([*CHANGES] * 2)])
def test_another_script_is_refused(tmp_path, scripts, text):
    (scripts / NAME).write_text(text)
    with pytest.raises(ThemeError, match=r"bundle\.0\.min\.js swaps pages in another way"):
        mend_theme_script(tmp_path)
    assert (scripts / NAME).read_text() == text


def test_a_theme_without_the_script_is_refused(tmp_path, scripts):
    with pytest.raises(ThemeError, match="0 scripts"):
        mend_theme_script(tmp_path)
