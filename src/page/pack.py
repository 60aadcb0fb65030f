"""Packs the page: pack.py SHELL MODULE OUTPUT ROOT SOURCES

One HTML file with the module gzipped inside, style and script in one piece each, and a policy that lets nothing else run and nothing
leave. The same inputs give the same bytes.
"""

import base64
import hashlib
import html
import json
import pathlib
import re
import subprocess
import sys
import tempfile
import tomllib

MODULES = ("dom.js", "core.js", "words.js", "job_text.js", "link.js", "shelf.js", "state.js", "questions.js", "answer.js", "standing.js", "app.js")
# Whose work is inside, and where its terms stand.
LICENCES = (
    ("kerfmark", "{root}/LICENSE"),
    ("DejaVu fonts, as changed for the sheet", "{root}/src/sheet/fonts/LICENSE"),
    ("libharu", "{sources}/libharu/README"),
    ("zlib", "{sources}/zlib/README"),
    ("utf8proc", "{sources}/utf8proc/LICENSE.md"),
    ("libmd", "{sources}/libmd/COPYING"),
    ("toml++", "/usr/share/doc/libtomlplusplus-dev/copyright"),
    ("JSON for Modern C++", "/usr/share/doc/nlohmann-json3-dev/copyright"),
    ("libc++ and libc++abi", "/usr/share/doc/libc++-22-dev-wasm32/copyright"),
    ("WASI libc", "/usr/share/doc/wasi-libc/copyright"),
)


def script_of(shell):
    """The modules one after the other, each in a scope of its own, without their imports, exports, comments and indentation."""
    parts, exported = [], []
    for name in MODULES:
        text = (shell / name).read_text(encoding="utf-8")
        text = re.sub(r"^ +|^(import .*;| *//.*|)\n", "", text, flags=re.MULTILINE)
        names = re.findall(r"^export (?:async )?(?:const|function) (\w+)", text, flags=re.MULTILINE)
        text = re.sub(r"^export ", "", text, flags=re.MULTILINE)
        parts.append(f"const {{ {', '.join(names)} }} = (() => {{\n{text}\nreturn {{ {', '.join(names)} }};\n}})();"
                     if names else text)
        exported += names
    if len(exported) != len(set(exported)):
        sys.exit("two modules export the same name")
    return "\n".join(parts)


def licences(root, sources):
    texts = []
    for title, place in LICENCES:
        path = pathlib.Path(place.format(root=root, sources=sources))
        if not path.is_file():
            sys.exit(f"{title}: there is no licence notice at {path}")
        texts.append(f"==== {title} ====\n\n{path.read_text(encoding='utf-8', errors='replace').strip()}\n")
    return "\n".join(texts)


def sentences(table, before):
    """[page.door] c = "text" as {"page.door.c": "text"}."""
    found = {}
    for key, value in table.items():
        found.update(sentences(value, f"{before}{key}.") if isinstance(value, dict) else {before + key: value})
    return found


def words(root):
    """What the page says in each language, English first."""
    files = sorted((root / "templates").glob("words.*.toml"), key=lambda path: (path.name != "words.en.toml", path.name))
    tables = [tomllib.loads(path.read_text(encoding="utf-8")) for path in files]
    return {table["language"]["tag"]: sentences(table["page"], "page.") for table in tables}


def in_every_language(said, key):
    return "".join(f'<p lang="{tag}">{html.escape(own[key])}</p>' for tag, own in said.items())


def source_hash(text):
    return "'sha256-" + base64.b64encode(hashlib.sha256(text.encode()).digest()).decode() + "'"


def packed(path):
    """Zopfli writes what any gunzip reads, 4 % smaller than gzip's best; five letters for four bytes are 6 % less than base64.
    Without "<", which means something in HTML, and "@", which means something here.
    """
    done = subprocess.run(["zopfli", "--i5", "-c", path], check=True, stdout=subprocess.PIPE)
    return base64.b85encode(done.stdout).decode().translate(str.maketrans("<@", ".,"))


def packed_text(text):
    with tempfile.NamedTemporaryFile("w", encoding="utf-8") as file:
        file.write(text)
        file.flush()
        return packed(file.name)


def main():
    shell, module, output, root, sources = map(pathlib.Path, sys.argv[1:])
    script = script_of(shell)
    style = re.sub(r"/\*.*?\*/\n?|^ +", "", (shell / "style.css").read_text(encoding="utf-8"), flags=re.MULTILINE | re.DOTALL)
    guard = (shell / "guard.js").read_text(encoding="utf-8")
    said = words(root)
    policy = (f"default-src 'none'; script-src {source_hash(guard)} {source_hash(script)} 'wasm-unsafe-eval'; style-src {source_hash(style)}; "
              "img-src data:; base-uri 'none'; form-action 'none'")
    page = (shell / "index.html").read_text(encoding="utf-8")
    parts = {"policy": policy, "style": style, "guard": guard, "no_script": in_every_language(said, "page.no_script"),
             "too_old": in_every_language(said, "page.too_old"),
             "words": packed_text(json.dumps(said, ensure_ascii=False, separators=(",", ":"))),
             "licences": packed_text(licences(root, sources)), "core": packed(module), "script": script}
    for name, text in parts.items():
        if page.count(f"@{name}@") != 1:
            sys.exit(f"index.html has no single place for @{name}@")
        page = page.replace(f"@{name}@", text)
    if "</script" in script + guard or "</style" in style:
        sys.exit("a script or style that ends itself")
    partial = output.with_suffix(".new")
    partial.write_text(page, encoding="utf-8")
    partial.replace(output)
    print(f"{output}: {output.stat().st_size} bytes")


main()
