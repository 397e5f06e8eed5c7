"""A second network world beside this one, which is what a phone in the same network would be. Needs Linux, root and `ip`."""

from __future__ import annotations

import os
import secrets
import shutil
import subprocess
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass

import pytest


@dataclass(frozen=True)
class Strand:
    """Two network worlds on this computer with one cable between them.

    Attributes:
        name: The other world.
        here: This computer's address in the cable.
    """

    name: str
    here: str

    def run(self, program: str, *words: str, patience: float = 60) -> str:
        """What a Python program says that runs in the other world."""
        done = subprocess.run(
            ["ip", "netns", "exec", self.name, sys.executable, "-c", program, *words],
            capture_output=True, text=True, timeout=patience, check=False,
        )  # fmt: skip
        assert done.returncode == 0, done.stderr
        return done.stdout


def ip(*words: str) -> subprocess.CompletedProcess[str]:
    return subprocess.run(["ip", *words], capture_output=True, text=True, check=False)


@contextmanager
def cable() -> Iterator[Strand]:
    """A second network world for as long as it is needed; skips, and says why, where none can be had."""
    if sys.platform != "linux" or shutil.which("ip") is None:
        pytest.skip("a second network world needs Linux and the command `ip`")
    if os.geteuid() != 0:
        pytest.skip("only root may lay a cable to a second network world")
    tail = secrets.token_hex(3)
    name, near, far = f"mm-{tail}", f"mmn{tail}", f"mmf{tail}"
    # 198.18.0.0/15 is set aside for measuring between networks (RFC 2544), so no real one is in the way.
    third = int(tail[:2], 16)
    here, there = f"198.18.{third}.1", f"198.18.{third}.2"
    if (made := ip("netns", "add", name)).returncode:
        pytest.skip(f"this computer permits no second network world: {made.stderr.strip()}")
    try:
        for words in (
            f"link add {near} type veth peer name {far} netns {name}",
            f"addr add {here}/24 dev {near}",
            f"link set {near} up",
            f"-n {name} addr add {there}/24 dev {far}",
            f"-n {name} link set {far} up",
            f"-n {name} link set lo up",
        ):
            if (laid := ip(*words.split())).returncode:
                pytest.skip(f"this computer permits no cable between them: {laid.stderr.strip()}")
        yield Strand(name, here)
    finally:
        ip("link", "del", near)
        ip("netns", "del", name)
