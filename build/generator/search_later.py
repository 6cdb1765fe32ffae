"""The theme's script, made to load the search when it is wanted.

As it comes, every page loads the whole index and builds the search from it at once: half a second
of work for a phone, just when Python starts and the page is drawn. Here that waits until the search
is opened or the page has stood for a while. Nothing else of the script is touched.
"""

from pathlib import Path

BUNDLES = "assets/javascripts/bundle.*.min.js"
LATER_MS = 4000

CHANGES = {
    # Of what starts the search the theme names two: at once (unless the page is a file), or when
    # the search is opened. The first becomes a promise for later.
    '$(location.protocol!=="file:"),Je("search")': (
        f'new Promise(e=>addEventListener("load",()=>setTimeout(e,{LATER_MS},!0),{{once:!0}})),'
        'Je("search")'
    ),
    # The index is also asked for to mark found words, but there are some only behind a result's link.
    'V("search.highlight")?Ai(': 'V("search.highlight")&&/[?&]h=/.test(location.search)?Ai(',
}


class ThemeError(LookupError):
    """The theme's script is not the one that this was written for."""


def load_search_later(out: Path) -> None:
    """Change the theme's script in the rendered site.

    Raises
    ------
    ThemeError
        If there is not one script, or it does not start the search in the known way.
    """
    scripts = sorted(out.glob(BUNDLES))
    if len(scripts) != 1:
        raise ThemeError(f"the theme has {len(scripts)} scripts like {BUNDLES}, not one")
    (script,) = scripts
    text = script.read_text(encoding="utf-8")
    for known, changed in CHANGES.items():
        if text.count(known) != 1:
            raise ThemeError(
                f"{script.name} starts the search in another way than before: "
                f"see {Path(__file__).name}"
            )
        text = text.replace(known, changed)
    script.write_text(text, encoding="utf-8", newline="\n")
