"""Ways to spoil a record that no reader may take for a record: name → a function of its text."""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping

_BOMB = "x-a: &a [x, x]\n" + "".join(
    f"x-{name}: &{name} [{', '.join([f'*{before}'] * 9)}]\n"
    for before, name in zip("abcdefgh", "bcdefghi", strict=True)
)


def _after(more: str) -> Callable[[str], bytes]:
    return lambda text: f"{text}{more}".encode()


WHOLE: Mapping[str, Callable[[str], bytes]] = {
    "alias bomb": _after(_BOMB),
    "list in itself": _after("x-a: &a [*a]\n"),
    "merges": _after("<<: {a: b}\n" * 5000),
    "deep brackets": _after("x-a: " + "[" * 200_000),
    "deep lines": _after("x-a:\n" + "".join(" " * n + "- \n" for n in range(1, 1000))),
    "many names": _after("".join(f"x-{n}: \n" for n in range(100_000))),
    "names that hash alike": _after("".join(f"{(2**61 - 1) * n}: 1\n" for n in range(5_000))),
    "a million digits": _after("x-a: " + "9" * 1_000_000 + "\n"),
    "base sixty": _after(f"x-a: {'1:' * 60_000}1\nx-b: &b 1\n"),
    "too large": _after("#" * (1024 * 1024)),
    "code tag": _after("x-a: !!python/object/apply:os.system [touch ran]\n"),
    "directive": lambda text: f"%TAG ! tag:example.org,2000:\n---\n{text}".encode(),
    "two documents": _after("---\nrecord: group\n"),
    "not a number": _after("x-a: .nan\n"),
    "endless": _after("x-a: -.inf\n"),
    "doubled": lambda text: f"{text}{text.splitlines()[0] or text.splitlines()[1]}\n".encode(),
    "UTF-16": lambda text: text.encode("utf-16"),
    "UTF-32": lambda text: text.encode("utf-32"),
    "UTF-7 and Latin": lambda text: f"{text}x-a: +ADw-\xe9\n".encode("latin-1"),
    "half a pair": lambda text: f"{text}x-a: ".encode() + b"\xed\xa0\x80\n",
    "line separator": _after("x-a: a\u2028b\n"),
    "turned writing": _after("x-a: a\u202eb\n"),
    "escape by escape": _after('x-a: "\\e[2J\\a"\n'),
    "NUL": _after("x-a: a\0b\n"),
    "cut off": lambda text: text.encode()[: len(text) * 2 // 3] + b"\n  - {",
    "nothing": lambda _: b"",
    "only a mark": lambda _: b"\xef\xbb\xbf",
    "a list": lambda text: f"- {text.strip().splitlines()[0]}\n".encode(),
    "one word": lambda _: b"record\n",
    "bytes": lambda _: bytes(range(256)) * 40,
    "a picture": lambda _: b"\x89PNG\r\n\x1a\n" + bytes(2000),
    "an archive": lambda _: b"PK\x03\x04" + bytes(2000),
}
"""Spoilt as a file: to be refused whatever kind of record it is."""

QUANTITIES: tuple[str, ...] = (
    "9**9**9 g per animal", "9^9^9 g per animal", "1e400 g per animal", "inf g per animal",
    "nan g per animal", "-5 g per animal", "1,5 g per animal", "1 1/2 g per animal",
    "5 g 3 kg per animal", "5 g + 3 kg per animal", "5 ± 1 g per animal", "5 pinch per animal",
    "5 g; import os", "__import__('os').system('touch ran')", "lambda: 5", "-" * 5000,
    "*" * 20_000, "9" * 900_000, "5 " + "g" * 100_000, "٣ g per animal", "５ g per animal",
    "5 ｇ per animal", "5 Kg per animal", "5 KG per animal", "5 gm per animal", "5 mcal", "5 degC",
    "5 Mg per animal", "0 g per animal", "5 g\\u200bper animal", "5 g per аnimal", "{0}", "%s%n",
    "5 g per animal\\n::error::x", "${jndi:ldap://example.org/a}", "=cmd|' /C calc'!A0", "5..5 g",
    "5 to 3 g per animal", "1e3 g per animal", "0x5 g per animal", "1_000 g per animal", "5 g per",
    "5\\u00a0g per animal", "½ g per animal", "five g per animal", "5 g per animal per animal",
)  # fmt: skip
"""What is no amount, no mass and no share of ours, though some reader may take it for one."""

_AMOUNT = re.compile(
    r"(?<=[:\s])(?:[0-9.]+ (?:g|kg|%|days)(?: per animal| of dry matter)?)(?=[,}\s])"
)


def with_quantity(text: str, quantity: str) -> str | None:
    """The text with its first quantity replaced; None if it holds none."""
    found = _AMOUNT.search(text)
    if found is None:
        return None
    return f'{text[: found.start()]}"{quantity}"{text[found.end() :]}'


NAMES: tuple[str, ...] = (
    "../../../etc/passwd", "/etc/passwd", "/dev/zero", "file:///etc/passwd", "..", ".", "~root",
    "C:\\\\Windows\\\\system.ini", "http://127.0.0.1:9/x", "con", "a/b", "-rf", "--help", "$(id)",
    "`id`", "; touch ran", "| id", "{{7*7}}", "{% include '/etc/passwd' %}", "${HOME}", "%00", "",
    " ", "x" * 100_000, "tаpir", "ｔapir", "tapir\\u0301", "\\u202ertapir", "\\e[31mtapir",
    "tapir\\n::error::x", "__proto__", "__class__", "0", "null", "NaN", "]]>", "<!--", "-->",
    "<script>alert(1)</script>", "]]><!ENTITY x SYSTEM 'file:///etc/passwd'>&x;", "=1+1", "@SUM(1)",
)  # fmt: skip
"""Names that would lead somewhere, run something or pass for another name."""
