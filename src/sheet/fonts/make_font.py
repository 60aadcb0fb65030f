#!/usr/bin/python3
"""Make the font that the sheet embeds, and a table of its measures.

    make_font.py REGULAR.ttf BOLD.ttf OUTPUT_FOLDER

Writes kerfmark-sans.ttf, kerfmark-sans-bold.ttf and, for each, a .metrics file.

Why not the fonts as they are: libharu 2.3.0 follows composite glyphs one level only when it makes a
subset, so letters built from composites lose parts in print ("š" in bold, "ữ", "Ё"). Here every
composite is turned into plain outlines. A font of some 1500 characters is also quicker to load than
one of 5900.

.metrics, all little-endian 16-bit numbers: units per em, count; then for each character, ascending:
code point, advance, x_min, y_min, x_max, y_max (font units, y upward, 0 0 0 0 for a blank).
"""

import struct
import sys
import unicodedata
from pathlib import Path

from fontTools.pens.recordingPen import DecomposingRecordingPen
from fontTools.pens.ttGlyphPen import TTGlyphPen
from fontTools.subset import Options, Subsetter
from fontTools.ttLib import TTFont, newTable
from fontTools.ttLib.tables._c_m_a_p import CmapSubtable
from fontTools.ttLib.tables.ttProgram import Program

BLOCKS = [
    (0x0020, 0x024F),  # Latin with its extensions A and B
    (0x0370, 0x03FF),  # Greek
    (0x0400, 0x04FF),  # Cyrillic
    (0x1E00, 0x1EFF),  # Latin extended additional (Vietnamese)
    (0x1F00, 0x1FFF),  # Greek extended
]
EXTRA = (
    "\u2007\u2009\u202f"  # figure, thin and narrow no-break space
    "‐‑‒–—―‘’‚“”„†‡•…‰′″‹›"
    "€№™℃ℓ⁰¹²³⁴⁵⁶⁷⁸⁹₀₁₂₃₄₅₆₇₈₉"
    "⅓⅔⅛⅜⅝⅞"
    "←↑→↓↔↕"
    "∂∅∆∏∑−√∞∠∥∫≈≠≤≥⊥⌀"
    "■□▲▶▼◀◆○●☐☑☒⚠✂✓✗"
    "\ufffd"  # what stands for a character that cannot be printed
)

# The licence (LICENSE in this folder) forbids names with "Bitstream" or "Vera", "Tavmjong Bah" or
# "Arev", and wants its notices to stay in the font.
FAMILY = "Kerfmark Sans"
COPYRIGHT_NAME, LICENCE_NAME = 0, 13


def wanted():
    points = {point for first, last in BLOCKS for point in range(first, last + 1)}
    points |= {ord(character) for character in EXTRA}
    # The canvas prints NFC, in which some characters are another one: U+0374 is U+02B9.
    return points | {ord(c) for p in points for c in unicodedata.normalize("NFC", chr(p))}


def subset(font, points):
    options = Options()
    options.hinting = False
    options.layout_features = []
    options.name_IDs = [COPYRIGHT_NAME, LICENCE_NAME]
    options.glyph_names = False
    options.notdef_outline = True
    options.drop_tables += ["FFTM", "GDEF", "GPOS", "GSUB", "kern", "gasp", "meta"]
    subsetter = Subsetter(options)
    subsetter.populate(unicodes=points)
    subsetter.subset(font)


def each_once(operations):
    """The contours of a glyph, without the second of a pair: bold "ḕ" has its "e" twice.

    Two layers of one contour show a darker edge on a screen.
    """
    contours, contour = [], []
    for operation in operations:
        contour.append(operation)
        if operation[0] in ("closePath", "endPath"):
            if contour not in contours:
                contours.append(contour)
            contour = []
    return contours


def decompose(font):
    glyphs, outlines = font.getGlyphSet(), font["glyf"]
    plain = {}
    for name in font.getGlyphOrder():
        if outlines[name].isComposite():
            record = DecomposingRecordingPen(glyphs)
            glyphs[name].draw(record)
            pen = TTGlyphPen(None)
            for contour in each_once(record.value):
                for operator, operands in contour:
                    getattr(pen, operator)(*operands)
            plain[name] = pen.glyph()
    for name, glyph in plain.items():
        outlines[name] = glyph
        glyph.recalcBounds(outlines)
        advance, _ = font["hmtx"][name]
        font["hmtx"][name] = (advance, glyph.xMin)


def keep_one_cmap(font):
    """libharu reads a format 4 table of the Unicode plane and nothing else."""
    table = CmapSubtable.newSubtable(4)
    table.platformID, table.platEncID, table.language = 3, 1, 0
    table.cmap = font.getBestCmap()
    font["cmap"] = newTable("cmap")
    font["cmap"].tableVersion = 0
    font["cmap"].tables = [table]


def end_with_a_table(font):
    """Give the font a last table that is not empty: a program for hinting that does nothing.

    libharu 2.3.0 writes a subset's tables one after the other, "prep" last, and cannot find the place of
    an empty one at the end of a subset that is a whole number of its 4096-byte buffers long.
    """
    font["prep"] = newTable("prep")
    font["prep"].program = Program()
    font["prep"].program.fromBytecode(b"\x40\x00")  # NPUSHB, no bytes: nothing is pushed


def rename(font, style):
    kept = [
        (number, str(font["name"].getName(number, 3, 1, 0x409)))
        for number in (COPYRIGHT_NAME, LICENCE_NAME)
    ]
    font["name"] = newTable("name")
    font["name"].names = []
    own = [
        (1, FAMILY),
        (2, style),
        (3, f"{FAMILY} {style}"),
        (4, f"{FAMILY} {style}"),
        (5, "Version 1.0"),
        (6, f"{FAMILY.replace(' ', '')}-{style}"),
    ]
    for number, text in own + kept:
        font["name"].setName(text, number, 3, 1, 0x409)
    for number, text in own:
        for word in ("bitstream", "vera", "tavmjong", "arev"):
            if word in text.lower():
                sys.exit(f"make_font.py: the licence forbids the name {text!r}")


def metrics(font):
    cmap, outlines = font.getBestCmap(), font["glyf"]
    rows = [struct.pack("<HH", font["head"].unitsPerEm, len(cmap))]
    for point in sorted(cmap):
        glyph = outlines[cmap[point]]
        advance, _ = font["hmtx"][cmap[point]]
        box = (0, 0, 0, 0)
        if glyph.numberOfContours:
            box = (glyph.xMin, glyph.yMin, glyph.xMax, glyph.yMax)
        rows.append(struct.pack("<HHhhhh", point, advance, *box))
    return b"".join(rows)


def main():
    sources, folder = sys.argv[1:3], Path(sys.argv[3])
    fonts = [TTFont(path, recalcTimestamp=False) for path in sources]
    points = wanted() & set(fonts[0].getBestCmap()) & set(fonts[1].getBestCmap())
    missing = [f"U+{ord(character):04X}" for character in EXTRA if ord(character) not in points]
    if missing:
        sys.exit(f"make_font.py: not in both fonts: {' '.join(missing)}")
    # The canvas has no right-to-left layout, so such a character must count as one the font lacks.
    leftward = [p for p in points if unicodedata.bidirectional(chr(p)) in ("R", "AL", "AN")]
    if leftward:
        sys.exit(f"make_font.py: right-to-left: {' '.join(f'U+{p:04X}' for p in leftward)}")
    stems = ("kerfmark-sans", "kerfmark-sans-bold")
    for font, style, stem in zip(fonts, ("Regular", "Bold"), stems):
        subset(font, points)
        decompose(font)
        keep_one_cmap(font)
        end_with_a_table(font)
        rename(font, style)
        font.save(folder / f"{stem}.ttf")
        (folder / f"{stem}.metrics").write_bytes(metrics(font))


if __name__ == "__main__":
    main()
