#pragma once

#include <cstddef>
#include <string>
#include <string_view>
#include <vector>

namespace kerfmark::cli {

/// The bytes of a file, at most `most` + 1 of them, so that the reader can tell a file that is too
/// large. Pipes are read, folders refused. Throws Trouble.
[[nodiscard]] std::string read_whole(const std::string& path, std::size_t most);

/// A file that gets its name when it is whole: written beside its place, and gone again when it
/// never got there. All of it throws Trouble.
class Draft {
 public:
  explicit Draft(const std::string& path);
  Draft(const Draft&) = delete;
  Draft& operator=(const Draft&) = delete;
  ~Draft();

  void append(std::string_view bytes);
  void flush();           ///< to the disk, so that only a name is wanting; appends nothing after it
  void replace_target();  ///< over what was there
  void become_target();   ///< only where there is nothing

 private:
  [[noreturn]] void fail(int error) const;

  std::string target_;
  std::string name_;  ///< while the file has no other
  int descriptor_ = -1;
};

/// Writes a file whole or not at all: into a temporary file beside it, flushed, then renamed over.
/// Throws Trouble and leaves what was there.
void write_whole(const std::string& path, const std::string& bytes);

/// The same, but never over something that is there already.
void create_whole(const std::string& path, const std::string& bytes);

/// Throws Trouble where there is something of that name, be it a link that leads nowhere.
void refuse_taken(const std::string& path);

/// Throws Trouble where an output would be one of the other files of its command, under whatever
/// name, whether those are there yet or not, or where standard output or error goes.
void refuse_shared(const std::string& output, const std::vector<std::string>& others);

/// Throws Trouble where a PDF must not be written: where it is shared as above, over something that
/// is no ordinary file or cannot be looked at, over a file that holds something else than a PDF.
void refuse_unless_pdf_may_go_to(const std::string& path, const std::vector<std::string>& others);

/// Writes to standard output and flushes it. Throws Trouble.
void print(const std::string& text);

}  // namespace kerfmark::cli
