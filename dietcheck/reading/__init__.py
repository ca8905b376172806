"""Records from files: read safely, checked against their schemas, each value with its place."""

from dietcheck.errors import JobError, NotARepository, show
from dietcheck.outside.git import git
from dietcheck.reading.check import FileFacts, check_file
from dietcheck.reading.identity import Identity
from dietcheck.reading.index import Index, Revision
from dietcheck.reading.kinds import KINDS, schema
from dietcheck.reading.positions import locate
from dietcheck.reading.problems import Path, Place, Problem
from dietcheck.reading.repository import Repository, read_repository
from dietcheck.reading.sources import Folder, Source
from dietcheck.reading.trusted import read_trusted

__all__ = [
    "KINDS",
    "FileFacts",
    "Folder",
    "Identity",
    "Index",
    "JobError",
    "NotARepository",
    "Path",
    "Place",
    "Problem",
    "Repository",
    "Revision",
    "Source",
    "check_file",
    "git",
    "locate",
    "read_repository",
    "read_trusted",
    "schema",
    "show",
]
