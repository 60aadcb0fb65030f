#include "kerfmark/report/json_object.hpp"

#include <algorithm>
#include <charconv>
#include <cmath>

#include <nlohmann/json.hpp>

#include "json_line.hpp"

namespace kerfmark::report {
namespace {

using Json = nlohmann::ordered_json;

// Whole numbers of JSON have neither point nor exponent.
bool is_real(std::string_view figure) {
  const bool number = !figure.empty() &&
                      (figure.front() == '-' || (figure.front() >= '0' && figure.front() <= '9'));
  return number && figure.find_first_of(".eE") != figure.npos;
}

// The library writes the shortest figures but for some that have seventeen digits.
std::string nine_decimals(std::string_view figure) {
  double value = 0.0;
  std::from_chars(figure.data(), figure.data() + figure.size(), value);
  std::string rounded;
  append_nine_decimals(value, rounded);
  return rounded;
}

// The same JSON with its figures rounded.
std::string with_nine_decimals(std::string_view json) {
  std::string out;
  bool in_text = false;
  for (std::size_t i = 0; i < json.size();) {
    const char c = json[i];
    if (in_text && c == '\\') {
      out += json.substr(i, 2);
      i += 2;
      continue;
    }
    in_text = c == '"' ? !in_text : in_text;
    const std::size_t end = in_text ? i : json.find_first_not_of("0123456789+-.eE", i);
    const std::string_view figure = json.substr(i, end == json.npos ? end : end - i);
    if (is_real(figure)) {
      out += nine_decimals(figure);
      i += figure.size();
    } else {
      out += c;
      ++i;
    }
  }
  return out;
}

// Everything outside ASCII is escaped, so that no text can steer a terminal.
std::string dump(const Json& json, int indent) {
  return with_nine_decimals(json.dump(indent, ' ', true, Json::error_handler_t::replace));
}

Json json_of(const JsonValue& value) {
  if (const auto* whole = std::get_if<std::int64_t>(&value)) {
    return *whole;
  }
  if (const auto* real = std::get_if<double>(&value)) {
    return *real;
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
