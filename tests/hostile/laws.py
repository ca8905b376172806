"""What holds for every run, whatever it was given."""

from __future__ import annotations

from tests.cage import Ended


def orderly(ended: Ended, *statuses: int) -> None:
    """It ended by itself with one of these statuses, said so in plain words and reached nowhere."""
    assert ended.status in statuses, (ended.status, ended.said[-3000:])
    assert "Traceback" not in ended.said, ended.said[-3000:]
    assert "went wrong" not in ended.err, ended.err[-3000:]
    assert ended.seen == (), ended.seen
    assert len(ended.said) < 400_000
    for line in ended.said.split("\n"):
        assert line.isprintable(), ascii(line)
        assert not line.lstrip().startswith("::"), ascii(line)
        assert "##[" not in line
        assert "##vso" not in line
