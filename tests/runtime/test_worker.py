"""The page's Python worker in a real browser, under the site's content security policy."""

import itertools
import json
from collections.abc import Callable
from functools import partial

import pytest

from calculators import browser
from calculators.browser.replying import KINDS
from generator.runtime import rehearsal
from generator.runtime.starting import LARGEST_SNAPSHOT
from tests.runtime.conftest import Packed, Trial
from tests.support.server import Fault
from tests.support.waiting import wait_for

pytestmark = pytest.mark.browser

StartTrial = Callable[..., Trial]

ASK_ALL = """(async () => {{
  const replies = [];
  for (const request of {requests}) replies.push(await client.ask(request));
  return replies;
}})()"""
FOLLOW_ALL = """(async () => {{
  const all = [];
  for (const request of {requests}) {{
    const parts = [];
    await client.follow(request, {{ onPart: (part) => parts.push(part) }});
    all.push(parts);
  }}
  return all;
}})()"""
SPOIL_SNAPSHOT = """(async () => {{
  const root = await navigator.storage.getDirectory();
  const folder = await root.getDirectoryHandle("python-snapshot");
  for await (const handle of folder.values()) {{
    const bytes = new Uint8Array(await (await handle.getFile()).arrayBuffer());
    bytes[{place} < 0 ? bytes.length + {place} : {place}] ^= 1;
    const writable = await handle.createWritable();
    await writable.write(bytes);
    await writable.close();
  }}
}})()"""
NEXT_STATE = """new Promise((resolve) => {{
  const watching = new AbortController();
  client.watchState((state) => {{
    if (state.phase !== "{phase}" || !({that})) return;
    watching.abort();
    resolve(state);
  }}, {{ signal: watching.signal }});
}})"""


def test_every_kind_of_question_is_rehearsed() -> None:
    """What is rehearsed is what stands here for the packed Python: other tests take the desk's."""
    asked = [json.loads(request) for request in rehearsal.requests()]

    for kind in KINDS:
        alike = (json.dumps(request) for request in asked if request.get("kind") == kind)
        assert any("failed" not in json.loads(browser.reply(request)) for request in alike), kind


def test_every_answer_and_error_is_the_desk_s_own(packed: Packed, trial: StartTrial) -> None:
    here = trial(packed)
    here.open()
    requests = rehearsal.requests()

    replies = here.run(ASK_ALL.format(requests=f"[{','.join(requests)}]"))

    assert replies == [json.loads(browser.reply(request)) for request in requests]
    assert here.complaints == []


def test_long_answers_are_the_desk_s_own(packed: Packed, trial: StartTrial) -> None:
    here = trial(packed)
    here.open()
    requests = rehearsal.streams()

    parts = here.run(FOLLOW_ALL.format(requests=f"[{','.join(requests)}]"))

    assert parts == [[json.loads(part) for part in browser.stream(request)] for request in requests]


def test_questions_asked_before_the_start_are_answered(
    packed_standin: Packed, trial: StartTrial
) -> None:
    here = trial(packed_standin)
    here.open()

    replies = here.run("Promise.all([1, 2].map((n) => client.ask({ n }, { form: `form ${n}` })))")

    assert replies == [{"asked": {"n": n}, "word": "air"} for n in (1, 2)]


def test_the_last_question_of_a_form_wins(packed_standin: Packed, trial: StartTrial) -> None:
    here = trial(packed_standin)
    here.open()

    before_start, after_start = (
        here.run("Promise.all([1, 2, 3].map((n) => client.ask({ n }, { form: 'one' })))")
        for _ in range(2)
    )

    superseded = {"superseded": True}
    assert before_start == [superseded, superseded, {"asked": {"n": 3}, "word": "air"}]
    assert after_start == before_start


def test_a_question_can_be_taken_back(packed_standin: Packed, trial: StartTrial) -> None:
    here = trial(packed_standin)
    here.open()

    reply = here.run(
        """(async () => {
          const taking = new AbortController();
          const reply = client.ask({}, { signal: taking.signal });
          taking.abort();
          return [await reply, await client.ask({}, { signal: taking.signal })];
        })()"""
    )

    assert reply == [{"superseded": True}, {"superseded": True}]


def test_a_long_answer_comes_in_parts_and_lets_others_through(
    packed_standin: Packed, trial: StartTrial
) -> None:
    here = trial(packed_standin)
    here.open()

    heard = here.run(
        """(async () => {
          await client.ask({});
          const heard = [];
          const long = client.follow(
            { parts: 8, work: 200000 },
            { form: "run", onPart: (part) => heard.push(part.number) },
          );
          const quick = client.ask({ n: 1 }, { form: "quick" }).then(() => heard.push("quick"));
          const last = await long;
          await quick;
          return { heard, last: last.number };
        })()"""
    )

    assert heard["last"] == 7
    assert [one for one in heard["heard"] if one != "quick"] == list(range(8))
    assert heard["heard"].index("quick") < 7


def test_a_newer_question_stops_a_long_answer(packed_standin: Packed, trial: StartTrial) -> None:
    here = trial(packed_standin)
    here.open()

    heard = here.run(
        """(async () => {
          await client.ask({});
          const parts = [];
          let newer;
          const older = await new Promise((resolve) => {
            const long = client.follow({ parts: 1000000, work: 1000 }, {
              form: "run",
              onPart: (part) => {
                parts.push(part.number);
                if (parts.length === 3) newer = client.ask({ n: 2 }, { form: "run" });
              },
            });
            long.then(resolve);
          });
          return { parts, older, newer: await newer };
        })()"""
    )

    assert heard == {
        "parts": [0, 1, 2],
        "older": {"superseded": True},
        "newer": {"asked": {"n": 2}, "word": "air"},
    }


def test_one_question_that_fails_does_not_end_the_others(
    packed_standin: Packed, trial: StartTrial
) -> None:
    here = trial(packed_standin)
    here.open()

    failed = here.run("client.ask({ raise: 'a broken valve' }).catch((error) => error.message)")
    after = here.run("client.ask({ n: 1 })")

    assert failed == "This question could not be answered (ValueError: a broken valve)."
    assert after["asked"] == {"n": 1}


@pytest.mark.parametrize(
    ("name", "what"),
    [
        ("runtime.json", "refuse"),
        *itertools.product(
            ("interpreter", "standard-library", "calculators"), ("refuse", "corrupt")
        ),
    ],
)
def test_a_file_that_does_not_come_is_named_and_can_be_tried_again(
    packed_standin: Packed, trial: StartTrial, name: str, what: str
) -> None:
    file = next(path.name for path in packed_standin.folder.glob(f"{name}*"))
    here = trial(packed_standin)
    here.server.spoil(f"runtime/{file}", Fault(refuse=what == "refuse", corrupt=what == "corrupt"))
    here.open()

    words = here.run("client.ask({}).catch((error) => error.message)")
    state = here.run(NEXT_STATE.format(phase="failed", that="true"))
    here.server.mend()
    here.run("client.retry()")
    reply = here.run("client.ask({ n: 1 })")

    assert name in words
    assert "could not be loaded" in words
    assert state["mayRetry"]
    assert reply["asked"] == {"n": 1}


@pytest.mark.parametrize("script", ["python-worker.js", "unpacking.js"])
@pytest.mark.parametrize("times", [1, None], ids=["one request", "the line"])
def test_a_worker_whose_script_hangs_is_given_up_and_started_anew(
    packed_standin: Packed, trial: StartTrial, script: str, times: int | None
) -> None:
    """A dead line that nobody cuts: known as soon as the script comes beside it, or after a while."""
    here = trial(packed_standin, alone=True)
    here.server.spoil(f"browser/{script}", Fault(kind="stall", times=times))
    here.page.clock.install()
    here.open()
    here.run("globalThis.words = client.ask({}).catch((error) => error.message), 0")
    assert wait_for(lambda: here.server.asked_for(f"browser/{script}"))

    def failed_a_second_later() -> bool:
        here.page.clock.fast_forward(1_000)
        return bool(here.run("state.phase") == "failed")

    here.page.clock.fast_forward(11_000 if times else 27_000)
    assert here.run("state.phase") == "starting"
    assert wait_for(failed_a_second_later)
    assert "the worker's script hangs" in here.run("words")

    # It mends by itself, as whatever could not be loaded does.
    here.server.mend()
    here.page.clock.fast_forward(4_000)
    assert wait_for(lambda: here.run("state.phase") in ("starting", "ready"))
    assert here.run("client.ask({ n: 1 })")["asked"] == {"n": 1}


def test_a_worker_that_has_spoken_is_left_alone(packed_standin: Packed, trial: StartTrial) -> None:
    here = trial(packed_standin, alone=True)
    here.page.clock.install()
    here.open()
    assert here.run("client.ask({ n: 1 })")["asked"] == {"n": 1}
    here.server.log.clear()
    here.page.clock.fast_forward(60_000)
    assert here.run("client.ask({ n: 2 })")["asked"] == {"n": 2}
    assert here.server.asked_for("browser/unpacking.js") == []


def is_ready(here: Trial) -> bool:
    return bool(here.run("state.phase") == "ready")


def test_a_file_of_the_start_that_hangs_is_fetched_anew(
    packed_standin: Packed, trial: StartTrial
) -> None:
    """A script is known to hang when it comes beside the import; a piece is simply asked for again.

    Both at once, since a page waits half a minute for either.
    """
    hanging = {}
    for pattern in ("pyodide.js", "calculators*"):
        (file, *_) = (
            p.relative_to(packed_standin.folder) for p in packed_standin.folder.rglob(pattern)
        )
        here = trial(packed_standin)
        here.server.spoil(f"runtime/{file.as_posix()}", Fault(kind="stall", times=1))
        here.open()
        here.run("globalThis.words = client.ask({ n: 1 }).then(() => '', (e) => e.message), 0")
        hanging[pattern] = here

    assert "it hangs" in hanging["pyodide.js"].run("words")
    assert hanging["calculators*"].run("words") == ""
    for here in hanging.values():
        assert wait_for(partial(is_ready, here))
        assert here.run("client.ask({ n: 2 })")["asked"] == {"n": 2}


def test_a_browser_that_refuses_webassembly_is_told_so(
    packed_standin: Packed, trial: StartTrial
) -> None:
    here = trial(packed_standin)
    here.server.policy = here.server.policy.replace("'wasm-unsafe-eval'", "")
    here.open()

    words = here.run("client.ask({}).catch((error) => error.message)")

    assert "refused to start the calculators" in words


def test_an_old_browser_is_told_so(packed_standin: Packed, trial: StartTrial) -> None:
    here = trial(packed_standin)
    # A browser that knows no module workers never looks at the option.
    here.page.add_init_script(
        "globalThis.Worker = class { addEventListener() {} postMessage() {} terminate() {} };"
    )
    here.open()

    words = here.run("client.ask({}).catch((error) => error.message)")
    state = here.run(NEXT_STATE.format(phase="failed", that="true"))

    assert "too old" in words
    assert not state["mayRetry"]


def test_a_second_start_comes_from_the_memory_kept_by_the_first(
    packed: Packed, trial: StartTrial
) -> None:
    here = trial(packed)
    requests = f"[{','.join(rehearsal.requests()[:40])}]"
    here.open()
    first = here.run(ASK_ALL.format(requests=requests))
    assert here.run(NEXT_STATE.format(phase="ready", that="state.kept !== undefined"))["kept"]

    here.open()
    second = here.run(ASK_ALL.format(requests=requests))

    assert here.run("state.restored")
    assert second == first
    assert here.complaints == []


def test_a_kept_memory_with_a_wrong_byte_is_not_used(
    packed_standin: Packed, trial: StartTrial
) -> None:
    here = trial(packed_standin)
    here.open()
    here.run("client.start()")
    for place in (1000, 10_000_000, -1):
        assert here.run(NEXT_STATE.format(phase="ready", that="state.kept !== undefined"))["kept"]
        here.run(SPOIL_SNAPSHOT.format(place=place))

        here.open()
        reply = here.run("client.ask({ n: 1 })")

        assert reply["asked"] == {"n": 1}
        assert not here.run("state.restored"), place
    assert here.run(NEXT_STATE.format(phase="ready", that="state.kept !== undefined"))["kept"]


LATER = ["brake", "beside", "7", "1"]


def test_the_second_part_is_loaded_when_first_asked_for(
    packed_standin: Packed, trial: StartTrial
) -> None:
    here = trial(packed_standin)
    here.open()
    assert here.run("client.ask({ n: 1 })")["word"] == "air"
    is_later = [path.name.startswith("later-") for path in packed_standin.folder.iterdir()]
    assert any(is_later)
    asked = [served.path for served in here.server.log]
    assert not [path for path in asked if path.startswith("runtime/later-")]

    heard = here.run(
        """(async () => {
          const words = [];
          const watching = new AbortController();
          client.watchState((state) => words.push([state.phase, state.words]), watching);
          const reply = await client.ask({ later: "7" });
          const again = await client.ask({ later: "8" });
          watching.abort();
          return { words, reply, again };
        })()"""
    )

    assert heard["reply"] == LATER
    assert heard["again"] == [*LATER[:2], "8", LATER[3]]
    assert {phase for phase, _ in heard["words"]} == {"ready"}
    said = [words for _, words in heard["words"]]
    assert said[1] == "Working: getting the part for study, worksheets and fault finding, 0 %"
    assert said[-1] == ""
    pieces = [s.path for s in here.server.log if s.path and s.path.startswith("runtime/later-")]
    assert len(pieces) == len(set(pieces)) == is_later.count(True)


def test_a_long_answer_and_a_quick_one_want_the_second_part_at_once(
    packed_standin: Packed, trial: StartTrial
) -> None:
    here = trial(packed_standin)
    here.open()

    heard = here.run(
        """(async () => {
          const parts = [];
          const long = client.follow({ parts: 3, later: "7" }, { onPart: (part) => parts.push(part) });
          const quick = client.ask({ later: "7" });
          const usual = client.ask({ n: 1 });
          return { usual: await usual, quick: await quick, last: await long, parts };
        })()"""
    )

    assert heard["usual"]["word"] == "air"
    assert heard["quick"] == LATER
    assert [part["number"] for part in heard["parts"]] == [0, 1, 2]


def test_a_second_part_that_is_not_there_is_said_and_the_rest_answers(
    packed_standin: Packed, trial: StartTrial
) -> None:
    file = next(path.name for path in packed_standin.folder.glob("later-*"))
    here = trial(packed_standin)
    here.server.spoil(f"runtime/{file}", Fault(refuse=True))
    here.open()

    words = here.run("client.ask({ later: '7' }).catch((error) => error.message)")
    usual = here.run("client.ask({ n: 1 })")
    state = here.run("state")
    here.server.mend()
    reply = here.run("client.ask({ later: '7' })")

    assert "The part for study, worksheets and fault finding is not on this device yet" in words
    assert file in words
    assert "then ask again" in words
    assert usual["word"] == "air"
    assert state["phase"] == "ready"
    assert reply == LATER


def test_a_start_from_the_kept_memory_loads_the_second_part_too(
    packed_standin: Packed, trial: StartTrial
) -> None:
    here = trial(packed_standin)
    here.open()
    assert here.run("client.ask({ later: '7' })") == LATER
    assert here.run(NEXT_STATE.format(phase="ready", that="state.kept !== undefined"))["kept"]

    here.open()
    reply = here.run("client.ask({ later: '7' })")

    assert here.run("state.restored")
    assert reply == LATER


def test_a_kept_memory_that_answers_otherwise_is_thrown_away(
    packed_standin: Packed, trial: StartTrial
) -> None:
    here = trial(packed_standin)
    here.open()
    here.run("client.start()")
    assert here.run(NEXT_STATE.format(phase="ready", that="state.kept !== undefined"))["kept"]
    manifest = here.server.site / "runtime" / "runtime.json"
    changed = json.loads(manifest.read_text(encoding="utf-8"))
    changed["snapshot"]["selfTest"] = json.dumps({"another": "question"})
    manifest.write_text(json.dumps(changed), encoding="utf-8")

    here.open()
    reply = here.run("client.ask({ n: 1 })")

    assert reply["asked"] == {"n": 1}
    assert not here.run("state.restored")


def test_the_started_memory_still_fits_a_snapshot(packed: Packed, trial: StartTrial) -> None:
    # The runtime restores a snapshot only into the memory it starts with.
    here = trial(packed)
    here.open()
    here.run("client.start()")

    state = here.run(NEXT_STATE.format(phase="ready", that="true"))

    assert state["memory"] <= LARGEST_SNAPSHOT
