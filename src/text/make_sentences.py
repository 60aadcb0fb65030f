"""The sentences of every language as tables of the program: make_sentences.py HEADER SOURCE LANGUAGE-FILE...

HEADER gets the keys and the places of each sentence, which the compiler checks wherever a sentence is said; SOURCE gets the
texts. The first file is the program's own language: another one that lacks a key of it, or has one more, ends the build.
Neither file is written again when nothing in it changes, so that a corrected sentence compiles one source.
"""

import pathlib
import re
import sys
import tomllib

PLACE = re.compile(r"\{(\w+)\}")


def sentences(table, before=""):
    """[a.b] c = "text" as {"a.b.c": "text"}."""
    found = {}
    for key, value in table.items():
        if isinstance(value, dict):
            found.update(sentences(value, f"{before}{key}."))
        else:
            found[before + key] = value
    return found


def of_program(table):
    """What the program itself says: the page has its own sentences from the same files, see src/page/pack.py."""
    return sentences({name: part for name, part in table.items() if name != "page"})


def in_the_first_alone(key):
    """Job files, the terminal and the manual are English: the help of a key stands there only."""
    return key.startswith("key.") and key.endswith(".help")


def literal(text):
    """A C++ literal of any UTF-8 text; what is not plain ASCII stands as octal bytes."""
    return '"' + "".join(chr(byte) if 32 <= byte < 127 and chr(byte) not in '"\\' else f"\\{byte:03o}"
                         for byte in text.encode()) + '"'


def write(path, text):
    if not path.is_file() or path.read_text(encoding="utf-8") != text:
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_text(text, encoding="utf-8")


def header(own):
    places = sorted({place for text in own.values() for place in PLACE.findall(text)})
    keys = "\n".join(f"    {literal(key)}," for key in sorted(own, key=str.encode))
    names = "\n".join(f"    {literal(name)}," for name in places)
    return f"""// Made while building from templates/words.*.toml by src/text/make_sentences.py.
#pragma once

#include <array>
#include <string_view>

namespace kerfmark::text {{

/// The key of every sentence, sorted.
inline constexpr auto sentence_keys = std::to_array<std::string_view>({{
{keys}
}});

/// Every name that stands in braces somewhere, sorted.
inline constexpr auto sentence_places = std::to_array<std::string_view>({{
{names}
}});

}}  // namespace kerfmark::text
"""


def source(languages):
    tables = []
    for own in languages:
        texts = "\n".join(f"    {literal(own.get(key, languages[0][key]))}," for key in sorted(languages[0], key=str.encode))
        tables.append(f"    // {own['language.tag']}\n{texts}\n")
    tags = ", ".join(literal(own["language.tag"]) for own in languages)
    count = len(languages)
    return f"""// Made while building from templates/words.*.toml by src/text/make_sentences.py.
#include "sentence_texts.hpp"

namespace kerfmark::text {{
namespace {{

constexpr std::array<std::string_view, {count}> tags{{{tags}}};

constexpr std::array<std::string_view, {count} * sentence_keys.size()> texts{{
{"".join(tables)}}};

}}  // namespace

std::span<const std::string_view> language_tags() {{ return tags; }}

std::string_view text_of(std::size_t language, std::size_t sentence) {{
  return texts.at(language * sentence_keys.size() + sentence);
}}

}}  // namespace kerfmark::text
"""


def main():
    header_path, source_path, *files = map(pathlib.Path, sys.argv[1:])
    languages = [of_program(tomllib.loads(path.read_text(encoding="utf-8"))) for path in files]
    wrong = []
    for path, own in zip(files, languages):
        wrong += [f"{path}: {key} is missing" for key in languages[0].keys() - own.keys() if not in_the_first_alone(key)]
        wrong += [f"{path}: {key} is not in {files[0].name}" for key in own.keys() - languages[0].keys()]
        wrong += [f"{path}: {key} is no text" for key, text in own.items() if not isinstance(text, str)]
        if path.name != f"words.{own.get('language.tag')}.toml":
            wrong.append(f"{path}: language.tag is not the tag in the file's name")
    if wrong:
        sys.exit("\n".join(sorted(wrong)))
    write(header_path, header(languages[0]))
    write(source_path, source(languages))


main()
