#include "server_name.hpp"

#include <array>
#include <memory>
#include <utility>

#include "kerfmark/register/register.hpp"
#include "kerfmark/trouble.hpp"
#include "libpq.hpp"

namespace kerfmark::records {
namespace {

constexpr std::string_view beginning = "postgresql://";

struct FreeOptions {
  void operator()(PQconninfoOption* options) const { libpq().free_options(options); }
};
using Options = std::unique_ptr<PQconninfoOption, FreeOptions>;

bool has_value(const PQconninfoOption& option) {
  return option.val != nullptr && *option.val != '\0';
}

bool is_here(std::string_view host) {
  return host.empty() || host.front() == '/' || host.front() == '@' || host == "localhost" ||
         host == "::1" || host.starts_with("127.");
}

}  // namespace

bool is_on_server(std::string_view name) { return name.starts_with(beginning); }

void refuse_name_of_server(const std::string& name) {
  char* said = nullptr;
  const Options options(libpq().parse_name(name.c_str(), &said));
  libpq().free_memory(said);  // what it says may have a password in it
  if (options == nullptr || name.find('\0') != std::string::npos) {
    throw Trouble("open", std::string(beginning) + "…",
                  "that is not the name of a server; write it as postgresql://host/database");
  }
  for (const PQconninfoOption* one = options.get(); one->keyword != nullptr; ++one) {
    const std::string_view key(one->keyword);
    if ((key == "password" || key == "sslpassword") && has_value(*one)) {
      throw Trouble("open", std::string(beginning) + "…",
                    "a password does not belong into the name of a register, where others see it; "
                    "write it to ~/.pgpass, or to a service file");
    }
  }
}

// What stands first is what the name itself may say otherwise.
ConnectionWords::ConnectionWords(const std::string& name) : name_(name) {
  constexpr auto words = std::to_array<std::pair<const char*, const char*>>({
      {"fallback_application_name", "kerfmark"},
      {"connect_timeout", "10"},      // seconds: a person waits
      {"keepalives_idle", "20"},      // likewise, until a silent network is looked at
      {"keepalives_interval", "5"},   // how often
      {"keepalives_count", "3"},      // and how many times
      {"tcp_user_timeout", "30000"},  // milliseconds until what was sent counts as lost
  });
  for (const auto& [key, value] : words) {
    keys_.push_back(key);
    values_.push_back(value);
  }
  for (const auto& [key, value] :
       {std::pair("dbname", name_.c_str()), {"client_encoding", "UTF8"}}) {
    keys_.push_back(key);
    values_.push_back(value);
  }
  keys_.push_back(nullptr);
  values_.push_back(nullptr);
}

std::string caution_about(std::string_view host, std::string_view address,
                          std::string_view sslmode) {
  if (is_here(host.empty() ? address : host) || sslmode == "verify-full") {
    return {};
  }
  return "the register is on " + std::string(host.empty() ? address : host) +
         ", and nothing makes sure that it is that one who answers: add ?sslmode=verify-full to "
         "its name";
}

std::string on_one_line(std::string_view said) {
  std::string line;
  for (const char c : said) {
    const bool blank = c == '\n' || c == '\t' || c == ' ';
    if (!blank) {
      line += c;
    } else if (!line.empty() && line.back() != ' ') {
      line += ' ';
    }
  }
  while (!line.empty() && line.back() == ' ') {
    line.pop_back();
  }
  return line;
}

}  // namespace kerfmark::records
