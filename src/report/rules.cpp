#include "kerfmark/report/rules.hpp"

#include <cstdint>
#include <optional>

#include "json_line.hpp"
#include "kerfmark/plan/keys.hpp"
#include "kerfmark/plan/rules.hpp"
#include "kerfmark/report/wording.hpp"
#include "kerfmark/text/printable.hpp"
#include "lines.hpp"

namespace kerfmark::report {
namespace {

using plan::HouseValue;
using plan::RuleRow;

std::vector<std::vector<std::string>> rows_of_limits(const text::Words& words) {
  std::vector<std::vector<std::string>> rows;
  for (const RuleRow& row : plan::rules()) {
    const std::string kinds = row.kinds == plan::Kinds::every() ? "all" : plan::words_of(row.kinds);
    rows.push_back({std::string(row.id) + (row.numbered ? "-1, -2 ..." : ""), kinds,
                    std::string(word(row.origin)), built_in(row, words), std::string(row.source)});
  }
  return rows;
}

std::string shown(const HouseValue& value, const text::Words& words) {
  if (value.is_flag) {
    return value.values.front() > 0.0 ? "true" : "false";
  }
  std::string list;
  for (const double one : value.values) {
    list += (list.empty() ? "" : ", ") + plain(one, words);
  }
  return list.empty() ? "none" : with_unit(list, value.dimension, words);
}

std::string_view whose(const HouseValue& value) { return value.of_shop ? "shop" : "default"; }

// A maker's figure stands in the job, and so does what is measured on the bicycle.
std::string_view whose(const RuleRow& row) {
  return row.figure ? "default" : row.origin == plan::Origin::maker ? "maker" : "job";
}

std::optional<std::string_view> unit_of(const HouseValue& value) {
  switch (value.dimension) {
    case measure::Dimension::length:
      return value.is_flag ? std::nullopt : std::optional<std::string_view>("mm");
    case measure::Dimension::angle:
      return "deg";
    case measure::Dimension::mass:
      return "kg";
    case measure::Dimension::ratio:
      return std::nullopt;
  }
  return std::nullopt;
}

void put_limit(JsonLine& out, const RuleRow& row, const text::Words& words) {
  out.object([&] {
    out.field("id", row.id);
    out.field("numbered", row.numbered);
    out.name("kinds");
    out.list([&] {
      for (std::size_t kind = 0; kind < plan::kind_words().size(); ++kind) {
        if (row.kinds.has(static_cast<plan::Kind>(kind))) {
          out.put(plan::kind_words()[kind]);
        }
      }
    });
    out.field("what", requirement(row.rule, words));
    out.field("origin", word(row.origin));
    out.field("source", row.source.empty() ? std::nullopt : std::optional(row.source));
    out.field("whose", whose(row));
    out.field("built_in", row.figure);
    const std::string_view unit = row.rule == plan::Rule::floor_round ? "diameters" : "mm";
    out.field("unit", row.figure ? std::optional(unit) : std::nullopt);
  });
}

void put_value(JsonLine& out, const HouseValue& value) {
  out.object([&] {
    out.field("key", std::string_view(value.key));
    out.name("value");
    if (value.is_list) {
      out.list([&] {
        for (const double one : value.values) {
          out.put(one);
        }
      });
    } else if (value.is_flag) {
      out.put(value.values.front() > 0.0);
    } else {
      out.put(value.values.front());
    }
    out.field("unit", unit_of(value));
    out.field("whose", whose(value));
  });
}

}  // namespace

std::string rules_table(const std::vector<HouseValue>& house, const View& as_is,
                        const text::Words& words) {
  const View view = usable(as_is);
  std::string out = table_to_fit({{"limit"}, {"kind"}, {"origin"}, {"default"}, {"source"}},
                                 rows_of_limits(words), view.width);
  out += section("What each asks", view);
  for (const RuleRow& row : plan::rules()) {
    out += wrapped("  " + std::string(row.id) + ": ", requirement(row.rule, words), view.width);
  }
  out += section("What counts where a job does not say", view);
  std::vector<std::vector<std::string>> rows;
  for (const HouseValue& value : house) {
    rows.push_back({text::harmless(value.key), shown(value, words), std::string(whose(value))});
  }
  out += table_to_fit({{"key"}, {"value"}, {"whose"}}, rows, view.width);
  out += "\n";
  out += wrapped("",
                 "Limits of origin maker, published and measured are hard: none may be broken, "
                 "and the doubt of the readings counts against them. Practice is common practice "
                 "of the trade and compared as marked.",
                 view.width);
  return finished(out, view);
}

std::string rules_json(const std::vector<HouseValue>& house, const std::string& shop,
                       const text::Words& words) {
  JsonLine out;
  out.object([&] {
    out.field("schema", std::int64_t{1});
    out.field("shop", shop.empty() ? std::nullopt : std::optional<std::string_view>(shop));
    out.name("limits");
    out.list([&] {
      for (const RuleRow& row : plan::rules()) {
        put_limit(out, row, words);
      }
    });
    out.name("values");
    out.list([&] {
      for (const HouseValue& value : house) {
        put_value(out, value);
      }
    });
  });
  return out.take();
}

}  // namespace kerfmark::report
