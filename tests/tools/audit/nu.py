"""The Nu HTML checker on every page of the site. It needs Java."""

from __future__ import annotations

import json
import shutil
import subprocess
from collections import Counter
from pathlib import Path
from typing import Any

#: The checker reads files, and a file has no origin that `'self'` could mean; the browser tests hold the policy.
_NOT_FOR_FILES = "Resource violates Content Security Policy"


def audit(*, site: Path, tools: Path, pages: tuple[str, ...], **_: Any) -> list[str]:
    """Every error once, with how often it is met and where first; warnings are printed and miss nothing."""
    if not shutil.which("java"):
        return ["nu: Java is needed, and there is none: install a Java runtime"]
    files = [site / page / "index.html" for page in pages] or sorted(site.rglob("*.html"))
    jar = tools / "node_modules/vnu-jar/build/dist/vnu.jar"
    counted: Counter[tuple[str, str]] = Counter()
    first: dict[tuple[str, str], str] = {}
    # A command line has its limits.
    for at in range(0, len(files), 200):
        command = ["java", "-Xss1m", "-jar", str(jar), "--format", "json", "--exit-zero-always"]
        said = subprocess.run([*command, *map(str, files[at : at + 200])], capture_output=True, text=True, check=False)
        for message in json.loads(said.stderr)["messages"]:
            level = message.get("subType", message["type"])
            if level == "info" or message["message"].startswith(_NOT_FOR_FILES):
                continue
            what = (level, message["message"])
            counted[what] += 1
            place = Path(message["url"].removeprefix("file:")).relative_to(site).as_posix()
            first.setdefault(what, f"{place}:{message.get('lastLine', '?')}")
    lines = {what: f"nu: {what[0]}: {what[1]} ({count}×, first {first[what]})" for what, count in counted.most_common()}
    warnings = [line for (level, _), line in lines.items() if level == "warning"]
    errors = [line for (level, _), line in lines.items() if level != "warning"]
    print(f"{len(files)} pages checked, {len(errors)} kinds of error, {len(warnings)} kinds of warning")
    for line in warnings:
        print(f"    {line}")
    return errors
