#pragma once

#include <cstdio>
#include <cstdlib>
#include <exception>
#include <string>
#include <utility>

namespace kerfmark {

/// The world failed us: a file, the disk, the register, the PDF library. The one exception type of
/// the program; it is caught once, in main. What the user typed wrong is a finding and never comes
/// this way.
class Trouble : public std::exception {
 public:
  /// Reads as one sentence, "cannot <doing> <path>: <reason>": doing "write", path "cut.pdf",
  /// reason "no space left on device".
  Trouble(std::string doing_what, std::string on_path, std::string why)
      : doing(std::move(doing_what)),
        path(std::move(on_path)),
        reason(std::move(why)),
        sentence_("cannot " + doing + " " + path + ": " + reason) {}

  [[nodiscard]] const char* what() const noexcept override { return sentence_.c_str(); }

  std::string doing;
  std::string path;
  std::string reason;

 private:
  std::string sentence_;
};

/// Throws Trouble. The page's program is compiled without exceptions: there it says the sentence
/// and stops, and the page starts it anew.
[[noreturn]] inline void fail_with(std::string doing_what, std::string on_path, std::string why) {
#if defined(__cpp_exceptions)
  throw Trouble(std::move(doing_what), std::move(on_path), std::move(why));
#else
  const Trouble trouble(std::move(doing_what), std::move(on_path), std::move(why));
  std::fputs(trouble.what(), stderr);
  std::abort();
#endif
}

}  // namespace kerfmark
