#include "kerfmark/job/template.hpp"

#include <algorithm>
#include <array>
#include <charconv>
#include <span>
#include <string_view>
#include <vector>

#include "kerfmark/job/help.hpp"
#include "kerfmark/plan/keys.hpp"

namespace kerfmark::job {
namespace {

using plan::Key;
using plan::Kind;

constexpr std::string_view blockage_table = "frame.blockage";

constexpr std::string_view how_to_fill_in =
    R"(#
# How to fill it in
#   - Lines that begin with # are left out. Take the # away and write your own figure behind the =.
#   - Fill in every line that says NEEDED. All the rest may stay as it is.
#   - Numbers are millimetres, degrees and kilograms, with a point: 212.5. Other units in quotes:
#         "8 3/8 in"   "21.2 cm"   "176 lb"
#   - Better than one reading are two, each taken from scratch:      [212, 212.5]
#   - "+-1 mm" is what a reading by that instrument may be wrong by. If yours is better or worse:
#         { read = 212, within = 0.3 }     or     { read = 212, with = "caliper" }
#   - Keep each line below the [header] it stands under. Text and words stand in "quotes".
#   - Then run: kerfmark plan and the name of this file. Nothing is cut by that; it tells what is
#     missing, what does not fit together, and whether to cut at all.
)";

struct Section {
  std::string_view table;
  std::string_view text;
};

constexpr auto seatpost_sections = std::to_array<Section>({
    {"",
     R"(#
# Ask the maker of post and frame first whether this post may be cut at all; what they say comes
# before anything reckoned here. The cut is at the lower end; it brings the printed mark lower
# by as much, so a new minimum-insertion line is needed afterwards.
#
#    What is measured from where (the post drawn upright):
#
#     .-----------------.
#     '------saddle-----'  . . saddle top . . . . . . . . . . . . . . . . . .-+-
#              |                                |rail_to_top                  |
#            ==o==  . . . . .  rail clamp . . .-+-                            |
#             | |               centre          |                             |
#             | |  extension                    |                             |
#             | |                               |                             |height
#            -| |-  . . . . .  collar edge . . .|. . . . . . . .-+-. . .-+-   |"along
#            || ||                              |post.length     |       |    |tube"
#            || ||  insertion                   |                |depth  |    |
#            ||-||  . . . . .  mark . . -+-     |                |       |seat|
#            || ||             post.mark |      |                |       |tube|
#            |'-'|  . . . . .  lower end-+- . .-+-               |       |    |
#            |   |                                               |       |    |
#            |>  |  . . . . .  blockage . . . . . . . . . . . . -+-      |    |
#             \ /                                                        |    |
#              O    . . . . .  BB centre . . . . . . . . . . . . . . . .-+-. -+-
#
)"},
    {"saddle",
     R"(# The saddle: how high the rider wants it.
)"},
    {"frame",
     R"(# The frame. What lies beside the axis of the post, seen with the front to the right:
#
#          o       centre of the clamped rails
#           '.\    post.setback: square over from the axis to o, plus to the rear
#              \
#               \  axis of the post
#                \
#      - - - - - -\- - - -   seat_angle: between axis and horizontal, about 73
#                  \
#               O.' \        axis_offset: square over from the BB centre O to the axis,
#                    \       plus when the axis runs in front of O
)"},
    {blockage_table,
     R"(# Anything in the seat tube that the post must not touch. Where the post stops short, this block is
# what the plan is about: without it nothing is known of the lip or boss. Take the # away in front
# of [[frame.blockage]] too, and copy the block for each further blockage. Probe the tube from the
# collar edge with a rod that has a small hook or disc at its end, all the way round.
)"},
    {"post",
     R"(# The post, as it is before the cut.
# A slanted lower end has two lengths: what meets a blockage is its longest point, while insertion
# counts from where the full section ends. Enter length and mark to the one that matters here: the
# longest point when a blockage stops the post, the full section when insertion is short.
)"},
    {"mock_up",
     R"(# A second way to the depth of a blockage, with the post itself.
)"},
    {"stock",
     R"(# Posts that could be fitted instead: an exchange comes before a saw.
)"},
    {"rider",
     R"(# The rider, where a maker states a limit.
)"},
    {"saw",
     R"(# The saw and the mitre guide or saw guide.
)"},
    {"measuring",
     R"(# How measurements count.
)"},
    {"job",
     R"(# What stands at the top of report and sheet.
)"},
    {"as_cut",
     R"(# After the cut: what was measured once the saw was put away. Take the # away in front of [as_cut]
# too and plan again: then you are told whether the post may be ridden. All lines above stay as they
# are; post.length remains the length before the cut.
)"},
});

constexpr auto steerer_sections = std::to_array<Section>({
    {"",
     R"(#
# Ask the makers of fork, stem and headset first; what they say comes before anything reckoned
# here. The cut is at the top. Not planned here: quill stems, threaded steerers, and cuts at the
# crown end.
#
#    What is measured from where (the steerer drawn upright, before the cut):
#
#               | |  . . . . . . top of the steerer . . . . . . . . . . . . . -+-
#               | |                               |mock_up.stands_proud        |
#             .-| |-.  . . . . . top of the stack-+- .-+-                      |
#             '-| |-'            rings above           |spacers.above          |
#             .-| |-.  . . . . . top of the stem . . .-+-                      |
#             | | | |                                  |stem.clamp             |
#             | | | |=====( )    handlebar             |                       |
#             '-| |-'  . . . . . . . . . . . . . . . .-+-                      |
#             .-| |-.            rings below           |spacers.below          |steerer.
#             '-| |-'  . . . . . . . . . . . . . . . .-+-                      |length
#             /-| |-\            cover and bearing     |headset.upper          |
#             +-| |-+  . . . . . upper edge of . . . .-+-                      |
#             | | | |            the head tube         |                       |
#             | | | |                                  |frame.head_tube        |
#             | | | |            lower edge of         |                       |
#             +-| |-+  . . . . . the head tube . . . .-+-                      |
#             \-| |-/            bearing               |headset.lower          |
#            .--' '--. . . . . . crown race seat . . .-+- . . . . . . . . . . -+-
#            '-------'           fork crown
#
#    The top as it shall be after the cut:
#
#            =========  . . . .  top cap, bolted down on
#            .-.   .-.  . . . .  top of the stack. . .-+-
#            | |   | |                                 |cap.gap: the cap presses the stack,
#            | |.-.| |  . . . .  top of the steerer. .-+-        never the steerer
#            | || || |
#
# Measure with the crown race and both bearings pressed home, and the stack snug by hand: a race
# that still has to go down spoils every figure.
#
# Two ways lead to the cut, and one of them is enough:
#   - by parts:    steerer.length, frame.head_tube, headset, stem and rings, each by itself;
#   - by mock-up:  all of it on the uncut steerer, and mock_up.stands_proud read at the top.
# Better are both: then they must agree, or nothing is cut.
#
# Carbon: never a star nut (an expander holds the cap bolt), never a pipe cutter (a fine saw in a
# guide, wet). Dust of carbon is harmful: wet the cut, wear a mask.
)"},
    {"frame",
     R"(# The frame. head_tube is needed for the cut by parts; angle, stack and reach only tell where the
# handlebar comes to stand.
)"},
    {"steerer",
     R"(# The steerer of the fork, as it is before the cut.
)"},
    {"headset",
     R"(# The headset, pressed home. For the cut by parts, and for the height of the handlebar.
)"},
    {"stem",
     R"(# The stem. Its clamp must stand on the steerer all the way up: a carbon steerer ends above the top
# of the stem, within a ring, unless the stem's maker says otherwise.
)"},
    {"spacers",
     R"(# The rings. A list in [ ] is one figure for each ring; one number is the sum of them all. Moving
# the stem down moves rings from below to above it: the sum of all stays.
)"},
    {"cap",
     R"(# The gap that lets the top cap press the bearings together.
)"},
    {"expander",
     R"(# Only where an expander backs the steerer inside the clamp, as carbon needs it: the zone that it
# holds must lie behind the whole clamp in every position of the stem.
)"},
    {"bar",
     R"(# Only to be told which rings bring the handlebar to a height that you wish for.
)"},
    {"mock_up",
     R"(# The other way to the cut: the whole stack on the uncut steerer, without the cap. Take the # away
# in front of [mock_up] too.
)"},
    {"rider",
     R"(# The rider, where a maker states a limit.
)"},
    {"saw",
     R"(# The saw and the saw guide.
)"},
    {"measuring",
     R"(# How measurements count.
)"},
    {"job",
     R"(# What stands at the top of report and sheet.
)"},
    {"as_cut",
     R"(# After the cut: what was measured once the saw was put away. Take the # away in front of [as_cut]
# too and plan again: then you are told whether the bicycle may be ridden. All lines above stay as
# they are. One of length and gap is enough, both are better: then they must agree.
)"},
});

std::string shortest(double value) {
  std::array<char, 32> buffer{};
  const auto end = std::to_chars(buffer.data(), buffer.data() + buffer.size(), value).ptr;
  return {buffer.data(), end};
}

// Comment lines no wider than the page of an ordinary editor window.
std::string comment(std::string_view text) {
  constexpr std::size_t widest = 98;
  std::string lines;
  std::string line = "#";
  while (!text.empty()) {
    const auto end = std::min(text.find(' '), text.size());
    const std::string_view word = text.substr(0, end);
    if (line.size() + 1 + word.size() > widest) {
      lines += line + "\n";
      line = "#  ";
    }
    line += " " + std::string(word);
    text.remove_prefix(std::min(end + 1, text.size()));
  }
  return lines + line + "\n";
}

std::string unit_of(const Key& key) {
  if (std::holds_alternative<plan::AngleSlot>(key.slot)) {
    return "deg";
  }
  if (std::holds_alternative<plan::MassSlot>(key.slot)) {
    return "kg";
  }
  return std::holds_alternative<plan::NumberSlot>(key.slot) ? "" : "mm";
}

std::string default_of(const Key& key) {
  if (!key.facts.fallback) {
    return {};
  }
  const double fallback = *key.facts.fallback;
  if (const auto* choice = std::get_if<plan::ChoiceSlot>(&key.slot)) {
    return "\"" + std::string(choice->words[static_cast<std::size_t>(fallback)]) + "\"";
  }
  if (std::holds_alternative<plan::FlagSlot>(key.slot)) {
    return fallback == 0.0 ? "false" : "true";
  }
  return shortest(fallback);
}

// "In mm, from 0 to 100; 2 unless given."
std::string facts_of(const Key& key, const plan::Job& plain) {
  std::string facts;
  if (const auto range = key.range_for(plain)) {
    const std::string unit = unit_of(key);
    facts += (unit.empty() ? "From " : "In " + unit + ", from ") + shortest(range->least) + " to " +
             shortest(range->most);
  } else if (const auto* choice = std::get_if<plan::ChoiceSlot>(&key.slot)) {
    for (std::size_t i = 0; i < choice->words.size(); ++i) {
      facts += std::string(i == 0                          ? "One of "
                           : i + 1 == choice->words.size() ? " or "
                                                           : ", ") +
               "\"" + std::string(choice->words[i]) + "\"";
    }
  }
  if (const std::string fallback = default_of(key); !fallback.empty()) {
    facts += (facts.empty() ? "" : "; ") + fallback + " unless given";
  }
  if (key.facts.needed == plan::Needed::by_choice) {
    facts += "; needed " + std::string(key.facts.needed_because);
  }
  return facts.empty() ? facts : " " + facts + ".";
}

std::string described(const Key& key, const plan::Job& plain) {
  return comment(std::string(plan::name_of(key.path)) + ": " + std::string(help_for(key.path)) +
                 facts_of(key, plain));
}

bool hangs_on_table(const Key& key) {
  return key.facts.needed == plan::Needed::in_its_table ||
         key.facts.needed == plan::Needed::one_of_table;
}

// Whether another key of the table will do as well.
bool has_alternative(const Key& key, Kind kind) {
  return key.facts.needed == plan::Needed::one_of_table &&
         std::ranges::any_of(plan::keys(), [&](const Key& other) {
           return other.path != key.path && other.belongs_to(kind) &&
                  other.facts.needed == plan::Needed::one_of_table &&
                  plan::table_of(other.path) == plan::table_of(key.path);
         });
}

std::string key_line(const Key& key, const plan::Job& plain) {
  std::string line =
      "#" + std::string(plan::name_of(key.path)) + " = " + std::string(example_for(key.path));
  constexpr std::size_t note_column = 32;
  if (key.is_needed(plain) || hangs_on_table(key)) {
    line.resize(std::max(line.size() + 2, note_column), ' ');
    line += key.is_needed(plain)               ? "# NEEDED: your own figure or word"
            : has_alternative(key, plain.kind) ? "# one at least when the header above is used"
                                               : "# needed when its header above is used";
  }
  return line + "\n";
}

/// The keys of one table, in the order of the table of keys.
struct Table {
  std::string_view path;
  std::vector<const Key*> keys;
};

std::vector<Table> tables_for(Kind kind) {
  std::vector<Table> tables;
  for (const Key& key : plan::keys()) {
    const auto path = plan::table_of(key.path);
    if (!key.belongs_to(kind) || path.empty()) {
      continue;
    }
    auto found = std::ranges::find(tables, path, &Table::path);
    if (found == tables.end()) {
      tables.push_back({path, {}});
      found = tables.end() - 1;
    }
    found->keys.push_back(&key);
  }
  return tables;
}

// A table within a table, [post.scale], is written on one line of it: scale = { … }.
bool is_inline(const Table& table) {
  return !plan::table_of(table.path).empty() && table.path != blockage_table;
}

std::string inline_table(const Table& table, const plan::Job& plain) {
  std::string text;
  std::string line;
  for (const Key* key : table.keys) {
    text += described(*key, plain);
    line += (line.empty() ? "" : ", ") + std::string(plan::name_of(key->path)) + " = " +
            std::string(example_for(key->path));
  }
  return text + "#" + std::string(plan::name_of(table.path)) + " = { " + line + " }\n";
}

std::string section_text(Kind kind, std::string_view table) {
  const std::span<const Section> sections = kind == Kind::seatpost
                                                ? std::span<const Section>(seatpost_sections)
                                                : std::span<const Section>(steerer_sections);
  const auto found = std::ranges::find(sections, table, &Section::table);
  return found == sections.end() ? std::string{} : std::string(found->text);
}

// A table with a key that it cannot do without starts left out, header and all.
std::string header(const Table& table) {
  const bool left_out =
      std::ranges::any_of(table.keys, [](const Key* key) { return hangs_on_table(*key); });
  const std::string name(table.path);
  return (left_out ? "#" : "") +
         (table.path == blockage_table ? "[[" + name + "]]\n" : "[" + name + "]\n");
}

}  // namespace

std::string job_template(Kind kind) {
  plan::Job plain;
  plain.kind = kind;
  const std::string word = kind == Kind::seatpost ? "seatpost" : "steerer";
  const auto tables = tables_for(kind);
  std::string text = "# kerfmark job: a " + word + " to be shortened\n" +
                     std::string(how_to_fill_in) + section_text(kind, "") + "\nkind = \"" + word +
                     "\"\n";
  for (const Table& table : tables) {
    if (is_inline(table)) {
      continue;
    }
    text += "\n" + section_text(kind, table.path) + header(table);
    for (const Key* key : table.keys) {
      text += "\n" + described(*key, plain) + key_line(*key, plain);
    }
    for (const Table& inner : tables) {
      if (is_inline(inner) && plan::table_of(inner.path) == table.path) {
        text += "\n" + inline_table(inner, plain);
      }
    }
  }
  return text;
}

}  // namespace kerfmark::job
