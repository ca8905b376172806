"""Files made to hang, crash, mislead or reach out: each becomes a problem with a line."""

from __future__ import annotations

import os
import sys

import pytest

from dietcheck.reading import check_file

GOOD = "record: group\nid: a\nspecies: B c\nenclosure: d\nfed: singly\nanimals: [{id: a}]\n"

BOMB = "a: &a [x, x]\n" + "".join(
    f"{name}: &{name} [{', '.join([f'*{before}'] * 9)}]\n"
    for before, name in zip("abcdefgh", "bcdefghi", strict=True)
)

# name → bytes, line at which something has to be told
TRAPS: dict[str, tuple[bytes, int]] = {
    "alias bomb": (BOMB.encode(), 1),
    "list that contains itself": (b"a: &a [*a]\n", 1),
    "alias of nothing": (f"{GOOD}notes: *gone\n".encode(), 7),
    "anchor alone": (f"{GOOD}notes: &mark text\n".encode(), 7),
    "alias as a name": (f"{GOOD}*x : 1\n".encode(), 7),
    "merge": (f"{GOOD}<<: {{notes: x}}\n".encode(), 7),
    "many merges": (GOOD.encode() + b"<<: {a: b}\n" * 20_000, 7),
    "python tag": (f"{GOOD}notes: !!python/object/apply:os.system [id]\n".encode(), 7),
    "own tag": (f"{GOOD}notes: !mine x\n".encode(), 7),
    "standard tag": (f"{GOOD}notes: !!str 5\n".encode(), 7),
    "undefined tag handle": (f"{GOOD}notes: !e!mine x\n".encode(), 7),
    "yaml directive": (f"%YAML 1.1\n---\n{GOOD}".encode(), 1),
    "tag directive": (f"%TAG ! tag:example.org,2000:\n---\n{GOOD}".encode(), 1),
    "two documents": (f"{GOOD}---\n{GOOD}".encode(), 7),
    "doubled name": (f"{GOOD}id: b\n".encode(), 7),
    "name that is a list": (f"{GOOD}? [a]\n: b\n".encode(), 7),
    "name that is empty": (f"{GOOD}: b\n".encode(), 7),
    "deep square brackets": (b"a: " + b"[" * 300_000, 1),
    "deep curly brackets": (b"a: " + b"{a: " * 200_000, 1),
    "deep dashes": (b"- " * 300_000, 1),
    "deep questions": (b"? " * 300_000, 1),
    "deep lines": ("".join(" " * n + "a:\n" for n in range(1_000)).encode(), 41),
    "very many names": ("".join(f"{n}:\n" for n in range(140_000)).encode(), 100_000),
    "very many items": (b"[" + b"[]," * 300_000, 1),
    "names that would hash alike": (
        ("record: group\n" + "".join(f"{(2**61 - 1) * n}: 1\n" for n in range(20_000))).encode(),
        1,
    ),
    "long number": (f"{GOOD}stations: {'9' * 900_000}\n".encode(), 7),
    "no number": (f"{GOOD}stations: .nan\n".encode(), 7),
    "endless number": (f"{GOOD}stations: -.inf\n".encode(), 7),
    "overflowing number": (f"{GOOD}stations: 1.0e+999\n".encode(), 7),
    "base sixty": (f"{GOOD}stations: {':'.join(['1'] * 60_000)}\n".encode(), 7),
    "octal": (f"{GOOD}stations: 010\n".encode(), 7),
    "underscores": (f"{GOOD}stations: 1_000\n".encode(), 7),
    "impossible date": (GOOD.replace("{id: a}", "{id: a, born: 9999-99-99}").encode(), 6),
    "UTF-16": (GOOD.encode("utf-16"), 1),
    "UTF-16 without a mark": (GOOD.encode("utf-16-le"), 1),
    "UTF-32": (GOOD.encode("utf-32"), 1),
    "Latin-1": (f"{GOOD}notes: café\n".encode("latin-1"), 7),
    "overlong UTF-8": (GOOD.encode() + b"notes: \xc0\xaf\n", 7),
    "surrogate in UTF-8": (GOOD.encode() + b"notes: \xed\xa0\x80\n", 7),
    "surrogate by escape": (f'{GOOD}notes: "\\ud800"\n'.encode(), 7),
    "second byte-order mark": (f"{GOOD}\ufeffnotes: x\n".encode(), 7),
    "line separator": (f"{GOOD}notes: a\u2028b\n".encode(), 7),
    "paragraph separator in a comment": (f"{GOOD}# a\u2029notes: b\n".encode(), 7),
    "next line": (f"{GOOD}notes: a\x85b\n".encode(), 7),
    "lone carriage return": (f"{GOOD}# remark\rnotes: x\n".encode(), 7),
    "NUL": (f"{GOOD}notes: a\0b\n".encode(), 7),
    "escape sequence": (f"{GOOD}notes: \x1b[31mred\n".encode(), 7),
    "escape sequence by escape": (f'{GOOD}notes: "\\e[31mred"\n'.encode(), 7),
    "turned writing": (f"{GOOD}notes: a\u202eb\n".encode(), 7),
    "turned writing by escape": (f'{GOOD}notes: "\\u202e"\n'.encode(), 7),
    "turned writing in a name": (f'{GOOD}"x-\\u202e": 1\n'.encode(), 7),
    "zero-width space": (f"{GOOD}notes: a\u200bb\n".encode(), 7),
    "too large": (b"#" * (1024 * 1024 + 1), 1),
    "very many strange names": (
        ("record: group\n" + "".join(f"k{n}: 1\n" for n in range(80_000))).encode(),
        1,
    ),
    "very many bad items": (b"record: treats\ntreats:\n" + b"- 1\n" * 90_000, 3),
    "very many doubled names": (b"record: group\n" + b"id: x\n" * 90_000, 3),
    "very long name": (b'? "' + b"k" * 900_000 + b'"\n: 1\nrecord: group\n', 1),
    "very long amount": (
        b"record: treats\ntreats: [{items: [{food: b, amount: " + b"9 " * 400_000 + b"}]}]\n",
        2,
    ),
    "very long word for a choice": (f"{GOOD}x: y\n".replace("singly", "s" * 900_000).encode(), 5),
    "very long kind": (b"record: " + b"s" * 900_000 + b"\n", 1),
    "tab": (f"{GOOD}\tnotes: x\n".encode(), 7),
    "open bracket": (f"{GOOD}notes: [a, b\n".encode(), 7),
    "open quotes": (f'{GOOD}notes: "a\n'.encode(), 7),
    "second colon": (f"{GOOD}notes: a: b\n".encode(), 7),
    "strange first letter": (f"{GOOD}notes: @a\n".encode(), 7),
    "unknown escape": (f'{GOOD}notes: "\\q"\n'.encode(), 7),
}


def test_the_good_record_is_good() -> None:
    assert check_file("g.yaml", GOOD.encode()).problems == ()


@pytest.mark.parametrize("name", TRAPS)
def test_a_trap_becomes_a_problem_at_its_line(name: str) -> None:
    raw, line = TRAPS[name]
    facts = check_file("trap.yaml", raw)
    assert facts.data is None
    assert line in {problem.line for problem in facts.problems}
    assert len(facts.problems) <= 21
    for problem in facts.problems:
        assert problem.message
        assert problem.remedy
        assert (problem.message + problem.remedy).isprintable()
        assert len(problem.message) + len(problem.remedy) < 800


@pytest.mark.parametrize(
    "line",
    [
        "notes: no", "notes: 08:30", "notes: 11:00", "notes: 010", "notes: 1e3", "notes: '5'",
        "x-note: yes", "notes: =", "x-\u2764: [1, {a: b}]", "notes: a\u00a0b", "notes: a\u200db",
        "notes: |\n  two\n  lines", "x-own: 2026-02-30", "# remark: [",
    ],
)  # fmt: skip
def test_what_other_readers_stumble_over_is_text_here(line: str) -> None:
    assert check_file("g.yaml", f"{GOOD}{line}\n".encode()).problems == ()


def test_line_ends_of_windows_and_a_byte_order_mark_are_taken() -> None:
    raw = b"\xef\xbb\xbf" + GOOD.replace("\n", "\r\n").encode()
    assert check_file("g.yaml", raw).data == check_file("g.yaml", GOOD.encode()).data


def test_nothing_a_file_says_is_run_or_opened() -> None:
    """Every trap is read while the interpreter watches for programs, sockets and files."""
    seen: list[str] = []
    watching = [True]

    def watch(event: str, arguments: tuple[object, ...]) -> None:
        if watching[0] and event.split(".")[0] in ("socket", "subprocess", "os", "ctypes"):
            seen.append(event)
        if watching[0] and event == "open":
            path = str(arguments[0])
            if not path.startswith((sys.prefix, sys.base_prefix)) and os.sep in path:
                seen.append(path)

    for raw, _ in TRAPS.values():
        check_file("warm.yaml", raw[:2000])  # what is imported on the way is imported now
    sys.addaudithook(watch)
    for raw, _ in TRAPS.values():
        check_file("trap.yaml", raw)
    watching[0] = False
    assert seen == []
