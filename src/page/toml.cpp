// The implementation of toml++, which Debian has in a shared library for the program. WASI's
// standard library has no files, and parse_file(), which is never called, names one.

#include <istream>

_LIBCPP_BEGIN_NAMESPACE_STD
template <class Char, class Traits>
class basic_ifstream : public basic_istream<Char, Traits> {
 public:
  basic_ifstream() : basic_istream<Char, Traits>(nullptr) {}
  template <class... Any>
  void open(Any&&... /*unused*/) {}
  [[nodiscard]] bool is_open() const { return false; }
};
_LIBCPP_END_NAMESPACE_STD

#define TOML_IMPLEMENTATION
#include <toml++/toml.h>
