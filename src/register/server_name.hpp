#pragma once

#include <string>
#include <string_view>
#include <vector>

/// What a register on a server is called by: a URL as PostgreSQL's library takes it.
namespace kerfmark::records {

/// Throws Trouble, which never repeats a password, where the library does not understand it or a
/// password stands in it, where the list of running programs shows it to everybody.
void refuse_name_of_server(const std::string& name);

/// What the library is told to connect with.
class ConnectionWords {
 public:
  explicit ConnectionWords(const std::string& name);
  [[nodiscard]] const char* const* keys() const { return keys_.data(); }
  [[nodiscard]] const char* const* values() const { return values_.data(); }

 private:
  std::string name_;
  std::vector<const char*> keys_, values_;
};

/// A caution where the server is on another machine and is not made sure of; else empty. Values as
/// the library has them, empty where it has none.
[[nodiscard]] std::string caution_about(std::string_view host, std::string_view address,
                                        std::string_view sslmode);

/// What the library says, without the line's ends.
[[nodiscard]] std::string on_one_line(std::string_view said);

}  // namespace kerfmark::records
