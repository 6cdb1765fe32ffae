"""The theme's script, changed in the one place where it works against our pages.

When it swaps pages it makes every script of the new one anew, and forgets of which type each is: data
that a page carries beside its text (a circuit's, a curve's) would then be run, which the content
security policy forbids with an error in the console.
"""

from pathlib import Path

BUNDLES = "assets/javascripts/bundle.*.min.js"

CHANGES = {
    'Ke(M("script",r))': "Ke(M(\"script:not([type='application/json'])\",r))",
}


class ThemeError(LookupError):
    """The theme's script is not the one that this was written for."""


def mend_theme_script(out: Path) -> None:
    """Change the theme's script in the rendered site.

    Raises
    ------
    ThemeError
        If there is not one script, or it does not swap pages in the known way.
    """
    scripts = sorted(out.glob(BUNDLES))
    if len(scripts) != 1:
        raise ThemeError(f"the theme has {len(scripts)} scripts like {BUNDLES}, not one")
    (script,) = scripts
    text = script.read_text(encoding="utf-8")
    for known, changed in CHANGES.items():
        if text.count(known) != 1:
            raise ThemeError(
                f"{script.name} swaps pages in another way than before: see {Path(__file__).name}"
            )
        text = text.replace(known, changed)
    script.write_text(text, encoding="utf-8", newline="\n")
