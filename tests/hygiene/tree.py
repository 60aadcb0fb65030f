"""The files of a source tree, as the checks of this folder see them."""

import pathlib
import sys

NOT_OURS = {".git", "build", "__pycache__"}


def files(root, suffixes=()):
    """Every file below root that is ours, with one of the suffixes if any are given, as sorted relative paths."""
    found = []
    for path in sorted(root.rglob("*")):
        relative = path.relative_to(root)
        if NOT_OURS & set(relative.parts) or relative.parts[:2] == ("demo", "sheets"):
            continue
        if path.is_file() and (not suffixes or path.suffix in suffixes):
            found.append(relative)
    return found


def finish(what, looked_at, complaints):
    """Prints the complaints; a check that found nothing to look at has failed, too."""
    for complaint in complaints:
        print(complaint)
    if not looked_at:
        print(f"{what}: nothing to look at")
    print(f"{what}: {looked_at} looked at, {len(complaints)} wrong")
    sys.exit(0 if looked_at and not complaints else 1)


def root_of_command_line():
    return pathlib.Path(sys.argv[1]).resolve()
