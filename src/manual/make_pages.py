"""The sources of the manual as a table of the program: make_pages.py SOURCE PAGE...

A page is called NAME.SECTION.scd, begins with NAME(SECTION), and says in one line below "# NAME" what it is about.
"""

import pathlib
import re
import sys

HEAD = re.compile(r"^([\w-]+)\((\d)\)[^\n]*\n\n# NAME\n\n([\w-]+) - ([^\n]+)\n\n")


def literal(text):
    """A C++ literal of any UTF-8 text; what is not plain ASCII stands as octal bytes."""
    return '"' + "".join(chr(byte) if 32 <= byte < 127 and chr(byte) not in '"\\' else f"\\{byte:03o}"
                         for byte in text.encode()) + '"'


def row(path):
    text = path.read_text(encoding="utf-8")
    head = HEAD.match(text)
    if not head or path.name != f"{head.group(1)}.{head.group(2)}.scd" or head.group(1) != head.group(3):
        sys.exit(f"{path}: does not begin as a page of this name does")
    name, section, _, what = head.groups()
    lines = "\n".join("     " + literal(line + "\n") for line in text.splitlines())
    return f"    {{{literal(name)}, {section}, {literal(what)},\n{lines}}},\n"


def main():
    target, *pages = map(pathlib.Path, sys.argv[1:])
    target.write_text(f"""// Made while building from templates/manual by src/manual/make_pages.py.
#include <array>

#include "page_sources.hpp"

namespace kerfmark::manual {{
namespace {{

constexpr auto sources = std::to_array<Page>({{
{"".join(row(page) for page in pages)}}});

}}  // namespace

std::span<const Page> page_sources() {{ return sources; }}

}}  // namespace kerfmark::manual
""", encoding="utf-8")


main()
