#include "kerfmark/report/json_object.hpp"

#include <algorithm>
#include <cmath>

#include <nlohmann/json.hpp>

namespace kerfmark::report {
namespace {

using Json = nlohmann::ordered_json;

// Everything outside ASCII is escaped, so that no text can steer a terminal.
std::string dump(const Json& json, int indent) {
  return json.dump(indent, ' ', true, Json::error_handler_t::replace);
}

Json json_of(const JsonValue& value) {
  if (const auto* whole = std::get_if<std::int64_t>(&value)) {
    return *whole;
  }
  if (const auto* real = std::get_if<double>(&value)) {
    return rounded_for_machines(*real);
  }
  if (const auto* text = std::get_if<std::string>(&value)) {
    return *text;
  }
  if (const auto* json = std::get_if<JsonText>(&value)) {
    return Json::parse(json->text, nullptr, false);
  }
  return nullptr;
}

bool holds_all(const Json& newer, const Json& older) {
  if (older.is_object()) {
    return newer.is_object() && std::ranges::all_of(older.items(), [&](const auto& item) {
             const auto found = newer.find(item.key());
             return found != newer.end() && holds_all(*found, item.value());
           });
  }
  if (older.is_array()) {
    return newer.is_array() &&
           std::equal(newer.begin(), newer.end(), older.begin(), older.end(), holds_all);
  }
  // What was written before numbers were rounded differs by less than that.
  constexpr double rounded_off = 1e-9;
  if (newer.is_number_float() && older.is_number_float()) {
    return std::abs(newer.get<double>() - older.get<double>()) <= rounded_off;
  }
  return newer == older;
}

}  // namespace

double rounded_for_machines(double value) {
  constexpr double nano = 1e9;
  const double rounded = std::round(value * nano) / nano;
  return rounded == 0.0 ? 0.0 : rounded;  // never −0
}

std::string json_object(std::span<const JsonField> fields) {
  Json object = Json::object();
  for (const JsonField& field : fields) {
    object[std::string(field.name)] = json_of(field.value);
  }
  return dump(object, -1);
}

bool is_json(std::string_view text) { return Json::accept(text); }

std::string json_for_people(std::string_view json) {
  return dump(Json::parse(json, nullptr, false), 2) + "\n";
}

bool says_no_less(std::string_view newer, std::string_view older) {
  const Json here = Json::parse(newer, nullptr, false);
  const Json then = Json::parse(older, nullptr, false);
  return !here.is_discarded() && !then.is_discarded() && holds_all(here, then);
}

}  // namespace kerfmark::report
