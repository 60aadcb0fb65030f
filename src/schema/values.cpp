#include "values.hpp"

#include <string>

#include "kerfmark/job/nearest.hpp"
#include "kerfmark/measure/quantity_text.hpp"

namespace kerfmark::schema {
namespace {

using measure::Dimension;
using plan::Range;

// Less than 1, with what a rule is divided into.
constexpr std::string_view fraction =
    "(?:1/2|[1-3]/4|[1-7]/8|(?:1[0-5]|[1-9])/16|(?:3[01]|[12][0-9]|[1-9])/32|"
    "(?:6[0-3]|[1-5][0-9]|[1-9])/64)";
constexpr std::string_view vulgar = "[½¼¾⅛⅜⅝⅞]";
constexpr std::string_view decimal = R"((?:[0-9]+(?:\.[0-9]*)?|\.[0-9]+))";

bool is_letter(char c) { return (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z'); }

std::string in_any_capitals(std::string_view word) {
  std::string pattern;
  for (const char c : word) {
    const char small = static_cast<char>(c >= 'A' && c <= 'Z' ? c - 'A' + 'a' : c);
    const char capital = static_cast<char>(small - 'a' + 'A');
    pattern += is_letter(c) ? "[" + std::string(1, capital) + std::string(1, small) + "]"
                            : std::string(1, c);
  }
  return pattern;
}

std::string quantity_pattern(Dimension dimension) {
  std::string units;
  for (const std::string_view unit : measure::unit_words(dimension)) {
    units += (units.empty() ? "" : "|") + in_any_capitals(unit);
  }
  const std::string part =
      "(?:(?:-|\\s+)" + std::string(fraction) + "|(?:-|\\s*)" + std::string(vulgar) + ")";
  return "^\\s*[-−+]?(?:" + std::string(fraction) + "|" + std::string(vulgar) + "|[0-9]+" + part +
         "|" + std::string(decimal) + ")\\s*(?:" + units + ")\\s*$";
}

std::string_view name_of(Dimension dimension) {
  switch (dimension) {
    case Dimension::length:
      return "length";
    case Dimension::angle:
      return "angle";
    case Dimension::mass:
      return "mass";
    case Dimension::ratio:
      break;
  }
  return "ratio";
}

Node plain_number(const std::optional<Range>& range) {
  Members members{{"type", text("number")}};
  if (range) {
    members.emplace_back("minimum", number(range->least));
    members.emplace_back("maximum", number(range->most));
  }
  return object(members);
}

// One figure: a number, or a text with its unit. A text's range is for the program to tell.
Node single(Dimension dimension, const std::optional<Range>& range) {
  if (dimension == Dimension::ratio) {
    return plain_number(range);
  }
  return any_of({plain_number(range),
                 object({{"$ref", text("#/$defs/" + std::string(name_of(dimension)))}})});
}

Node list_of(Node item, std::size_t least, std::size_t most) {
  Members members{{"type", text("array")}, {"items", std::move(item)}};
  if (least > 0) {
    members.emplace_back("minItems", number(static_cast<double>(least)));
  }
  if (most > 0) {
    members.emplace_back("maxItems", number(static_cast<double>(most)));
  }
  return object(members);
}

Node half_width(Dimension dimension) {
  return single(dimension, dimension == Dimension::angle ? plan::half_widths_of_angles
                                                         : plan::half_widths_of_lengths);
}

// { read = 212, within = 0.3, with = "caliper" }
Node reading_table(Dimension dimension, const std::optional<Range>& range) {
  const Node one = single(dimension, range);
  return object({{"type", text("object")},
                 {"properties", object({{"read", any_of({one, list_of(one, 1, 0)})},
                                        {"within", half_width(dimension)},
                                        {"with", object({{"type", text("string")}})}})},
                 {"required", texts({"read"})},
                 {"additionalProperties", flag(false)}});
}

Node reading(const plan::Key& key, Dimension dimension, const std::optional<Range>& range) {
  const Node one = single(dimension, range);
  std::vector<Node> forms{one, list_of(one, 1, 0), reading_table(dimension, range)};
  if (key.spec.unknown != nullptr) {
    forms.push_back(object({{"const", text("unknown")}}));
  }
  return any_of(forms);
}

// A sum, or a list with an entry for each ring.
Node rings(const std::optional<Range>& range) {
  const Node ring = any_of({single(Dimension::length, plan::one_ring),
                            reading_table(Dimension::length, plan::one_ring)});
  return any_of({single(Dimension::length, range), reading_table(Dimension::length, range),
                 list_of(ring, 0, plan::most_rings)});
}

Node instruments() {
  return object({{"type", text("object")},
                 {"propertyNames", object({{"pattern", text("\\S")}})},
                 {"additionalProperties",
                  any_of({half_width(Dimension::length), half_width(Dimension::angle)})}});
}

Node plain_text(std::size_t longest) {
  return object({{"type", text("string")}, {"maxLength", number(static_cast<double>(longest))}});
}

}  // namespace

std::string pattern_of(std::string_view word) { return "^" + in_any_capitals(word) + "$"; }

Node choice(std::span<const std::string_view> words) {
  std::vector<std::string> as_written(words.begin(), words.end());
  std::string patterns;
  for (const std::string_view word : words) {
    patterns += (patterns.empty() ? "" : "|") + in_any_capitals(word);
  }
  // The other spelling of a word counts too, where it is one of these.
  constexpr std::string_view american = "aluminum";
  if (job::place_of_word(american, words)) {
    patterns += "|" + in_any_capitals(american);
  }
  return any_of({object({{"enum", texts(as_written)}}),
                 object({{"type", text("string")}, {"pattern", text("^(?:" + patterns + ")$")}})});
}

Node texts_with_units() {
  Members members;
  for (const Dimension dimension : {Dimension::length, Dimension::angle, Dimension::mass}) {
    members.emplace_back(
        name_of(dimension),
        object({{"type", text("string")}, {"pattern", text(quantity_pattern(dimension))}}));
  }
  return object(members);
}

Node value_of(const plan::Key& key, const std::optional<Range>& range) {
  const auto lengths = [&](std::size_t least, std::size_t most) {
    return list_of(single(Dimension::length, range), least, most);
  };
  return std::visit(
      plan::BySlot{[&](plan::LengthSlot) { return reading(key, Dimension::length, range); },
                   [&](plan::AngleSlot) { return reading(key, Dimension::angle, range); },
                   [&](plan::MassSlot) { return reading(key, Dimension::mass, range); },
                   [&](plan::NumberSlot) { return plain_number(range); },
                   [](plan::FlagSlot) {
                     return object({{"type", text("boolean")}});
                   },
                   [&](plan::TextSlot) { return plain_text(key.spec.longest); },
                   [&](plan::PairSlot) { return lengths(2, 2); },
                   [&](plan::ListSlot) { return lengths(0, 0); },
                   [&](plan::RingsSlot) { return rings(range); },
                   [](const plan::ChoiceSlot& words) { return choice(words.words); },
                   [](plan::InstrumentsSlot) { return instruments(); }},
      key.slot);
}

}  // namespace kerfmark::schema
