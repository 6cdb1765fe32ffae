"""The trainee's reading order: a path through the pages beside the crew's task-first home.

The order is data (``content/learn/order.toml``), so that a page does not know where it stands.
"""

from __future__ import annotations

import re
import tomllib
from dataclasses import dataclass
from pathlib import Path
from xml.etree.ElementTree import Element

from calculators.rendering.elements import append, element, html
from generator.addresses import address_of, folder_of
from generator.embeds import Block
from generator.front_matter import title_of

_FILE = "learn/order.toml"
START = Path("learn/index.md")
_WORDS_A_MINUTE = 180
_MINUTES_A_BLOCK = 4
_HEAD = re.compile(r"\A---\n.*?^---\n", re.DOTALL | re.MULTILINE)
_BLOCK = re.compile(r"^```.*?^```$", re.DOTALL | re.MULTILINE)
_ASKED = re.compile(r"^```(?:calculator|circuit|train-run|drill|fault)$", re.MULTILINE)


@dataclass(frozen=True, slots=True, kw_only=True)
class Lesson:
    """One page of the order: where it stands, what the trainee can do afterwards, its text."""

    number: int
    chapter: str
    page: Path
    title: str
    goal: str
    text: str
    needs: tuple[Path, ...] = ()

    @property
    def minutes(self) -> int:
        """About how long the page takes, its figures tried once: an estimate for planning a class.

        Reading goes at some 180 words a minute (common practice for instructions); a calculator, a
        circuit or a set of questions takes four minutes more.
        """
        body = _HEAD.sub("", self.text)
        words = len(_BLOCK.sub("", body).split())
        return max(2, round(words / _WORDS_A_MINUTE + _MINUTES_A_BLOCK * len(_ASKED.findall(body))))


@dataclass(frozen=True, slots=True)
class ReadingOrder:
    """The lessons in order."""

    lessons: tuple[Lesson, ...]

    @classmethod
    def read(cls, content: Path) -> ReadingOrder:
        """Read ``content/learn/order.toml``.

        Raises
        ------
        ValueError
            If a page stands in the order twice, or before one that it needs.
        LookupError
            If a page does not exist or has no title.
        """
        data = tomllib.loads((content / _FILE).read_text(encoding="utf-8"))
        found: list[Lesson] = []
        for chapter in data["chapter"]:
            for lesson in chapter["lesson"]:
                page = Path(lesson["page"])
                if any(page == other.page for other in found):
                    raise ValueError(f"content/{_FILE}: {page} stands twice")
                needs = tuple(Path(one) for one in lesson.get("needs", ()))
                known = {other.page for other in found}
                if late := [one for one in needs if one not in known]:
                    raise ValueError(
                        f"content/{_FILE}: {page} needs {late[0]}, which does not come before it"
                    )
                found.append(
                    Lesson(
                        number=len(found) + 1,
                        chapter=chapter["title"],
                        page=page,
                        title=title_of(content / page),
                        goal=lesson["goal"],
                        text=(content / page).read_text(encoding="utf-8"),
                        needs=needs,
                    )
                )
        return cls(tuple(found))

    def block(self, block: Block) -> str:
        """``all``: every chapter with its lessons."""
        if block.subject != "all":
            raise LookupError(f'the reading order is called "all", not "{block.subject}"')
        chapters = dict.fromkeys(lesson.chapter for lesson in self.lessons)
        return "\n\n".join(self._chapter(title, block.page) for title in chapters)

    def _chapter(self, title: str, page: Path) -> str:
        mine = [lesson for lesson in self.lessons if lesson.chapter == title]
        items = (
            element(
                "li",
                element("a", lesson.title, href=address_of(lesson.page, seen_from=page)),
                element("small", f"{lesson.goal} About {lesson.minutes} min."),
                data_page=folder_of(lesson.page).as_posix(),
            )
            for lesson in mine
        )
        made = element("ol", *items, class_="task-list lessons", start=str(mine[0].number))
        return f"## {title}\n\n{html(made)}"

    def around(self, page: Path) -> str:
        """Where a page stands in the order, with the lessons before and behind; empty if not."""
        numbers = {lesson.page: number for number, lesson in enumerate(self.lessons)}
        if page not in numbers:
            return ""
        here = numbers[page]
        previous = self.lessons[here - 1] if here else None
        following = self.lessons[here + 1] if here + 1 < len(self.lessons) else None
        start = element("a", "Learn in order", href=address_of(START, seen_from=page))
        lesson = self.lessons[here]
        made = element(
            "nav",
            element("p", start, f": {here + 1} of {len(self.lessons)}, about {lesson.minutes} min"),
            element("p", f"Afterwards you can: {_lowered(lesson.goal)}", class_="lesson-aim"),
            self._needs(lesson),
            element(
                "p",
                element("button", "Mark as done", type="button", data_do="lesson-done"),
                class_="lesson-done",
                hidden="hidden",
            ),
            _step("Previous", previous, page),
            _step("Next", following, page),
            class_="reading-order",
            aria_label="Reading order",
            data_lesson=str(here + 1),
            data_of=str(len(self.lessons)),
        )
        return html(made)

    def _needs(self, lesson: Lesson) -> Element | None:
        """Links to what must be known first; None where nothing must."""
        if not lesson.needs:
            return None
        titles = {one.page: one.title for one in self.lessons}
        made = element("p", "First: ")
        for number, page in enumerate(lesson.needs):
            address = address_of(page, seen_from=lesson.page)
            append(made, ", " if number else None, element("a", titles[page], href=address))
        return made


def _lowered(goal: str) -> str:
    return f"{goal[:1].lower()}{goal[1:]}"


def _step(word: str, lesson: Lesson | None, page: Path) -> Element | None:
    if lesson is None:
        return None
    address = address_of(lesson.page, seen_from=page)
    rel = "prev" if word == "Previous" else "next"
    return element("p", f"{word}: ", element("a", lesson.title, href=address, rel=rel))
