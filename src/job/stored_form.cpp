#include "kerfmark/job/stored_form.hpp"

#include <algorithm>
#include <array>
#include <charconv>
#include <utility>
#include <vector>

#include "kerfmark/job/reader.hpp"
#include "kerfmark/measure/invariant.hpp"
#include "toml_text.hpp"
#include "values.hpp"

// toml++ has a writer of its own; it prints 31.6 as 31.600000000000001, and lines of any length.
namespace kerfmark::job {
namespace {

// Well below most_bytes_in_a_line, and what a person still reads as one line.
constexpr std::size_t longest_inline = 100;

std::string key_text(std::string_view key) {
  const auto is_bare = [](char c) {
    return (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z') || (c >= '0' && c <= '9') || c == '_' ||
           c == '-';
  };
  const bool bare = !key.empty() && std::ranges::all_of(key, is_bare);
  return bare ? std::string(key) : quoted_text(key);
}

template <class Number>
std::string digits_of(Number value) {
  std::array<char, 32> buffer{};
  const auto end = std::to_chars(buffer.data(), buffer.data() + buffer.size(), value).ptr;
  return {buffer.data(), end};
}

std::string real_text(double value) {
  const std::string text = digits_of(value);
  return text.find_first_of(".e") == std::string::npos ? text + ".0" : text;
}

std::string value_text(const toml::node& node);

std::string array_text(const toml::array& array) {
  std::string out = "[";
  std::size_t line = 0;
  for (const toml::node& element : array) {
    const std::string text = value_text(element);
    if (out.size() > 1) {
      out += ",";
      line += text.size() + 2;
      out += line > longest_inline ? "\n" : " ";
      line = line > longest_inline ? text.size() : line;
    }
    out += text;
  }
  return out + "]";
}

std::string table_text(const toml::table& table) {
  std::string out = "{";
  for (const auto& [key, node] : table) {
    out += (out.size() > 1 ? ", " : " ") + key_text(key.str()) + " = " + value_text(node);
  }
  return out + " }";
}

std::string value_text(const toml::node& node) {
  if (const auto* text = node.as_string()) {
    return quoted_text(text->get());
  }
  if (const auto* whole = node.as_integer()) {
    return digits_of(whole->get());
  }
  if (const auto* real = node.as_floating_point()) {
    return real_text(real->get());
  }
  if (const auto* yes = node.as_boolean()) {
    return yes->get() ? "true" : "false";
  }
  if (const auto* date = node.as_date()) {
    return date_text(date->get());
  }
  if (const auto* array = node.as_array()) {
    return array_text(*array);
  }
  const auto* table = node.as_table();
  require(table != nullptr, "a job has a value of a kind that no key takes");
  return table_text(*table);
}

void write_table(const toml::table& table, const std::string& path, std::string& out);

// What cannot stand on a line of its own comes behind it, under headers.
void write_below(const std::string& path, const toml::node& node, std::string& out) {
  if (const auto* table = node.as_table()) {
    out += "[" + path + "]\n";
    write_table(*table, path, out);
    return;
  }
  for (const toml::node& element : *node.as_array()) {
    out += "[[" + path + "]]\n";
    write_table(*element.as_table(), path, out);
  }
}

bool goes_below(const toml::node& node, bool at_top) {
  const auto* array = node.as_array();
  const bool tables = array != nullptr && array->is_homogeneous(toml::node_type::table);
  return (node.is_table() && at_top) ||
         ((node.is_table() || tables) && value_text(node).size() > longest_inline);
}

void write_table(const toml::table& table, const std::string& path, std::string& out) {
  for (const auto& [key, node] : table) {
    if (!goes_below(node, path.empty())) {
      out += key_text(key.str()) + " = " + value_text(node) + "\n";
    }
  }
  for (const auto& [key, node] : table) {
    if (goes_below(node, path.empty())) {
      write_below(path.empty() ? key_text(key.str()) : path + "." + key_text(key.str()), node, out);
    }
  }
}

std::string cut_out(toml::table& paperwork, std::string_view key) {
  std::string text = paperwork[key].value_or(std::string{});
  paperwork.erase(key);
  return text;
}

}  // namespace

std::string quoted_text(std::string_view text) {
  constexpr std::string_view digits = "0123456789ABCDEF";
  constexpr unsigned char delete_character = 0x7F;
  std::string out = "\"";
  for (const char c : text) {
    const auto byte = static_cast<unsigned char>(c);
    if (c == '"' || c == '\\') {
      out += '\\';
      out += c;
    } else if (byte < 0x20 || byte == delete_character) {
      out += "\\u00";
      out += digits[byte >> 4U];
      out += digits[byte & 0xFU];
    } else {
      out += c;
    }
  }
  return out + "\"";
}

std::string text_of(const toml::table& root) {
  std::string text;
  write_table(root, "", text);
  return text;
}

StoredForm stored_form(std::string_view text) {
  toml::table root = std::get<toml::table>(table_of(text));
  StoredForm form;
  if (toml::table* paperwork = root["job"].as_table()) {
    form.owner = cut_out(*paperwork, "owner");
    form.notes = cut_out(*paperwork, "notes");
  }
  form.job = text_of(root);
  return form;
}

bool says_the_same(plan::Job one, plan::Job other) {
  for (plan::Job* job : {&one, &other}) {
    for (measure::Reading& reading : job->readings) {
      reading.place = {};
    }
  }
  return one == other;
}

bool keeps(const StoredForm& form, const plan::Job& job) {
  Outcome again = read_job(form.job, "stored form");
  if (!again.job) {
    return false;
  }
  again.job->paperwork.owner = form.owner;
  again.job->paperwork.notes = form.notes;
  return says_the_same(*std::move(again.job), job);
}

}  // namespace kerfmark::job
