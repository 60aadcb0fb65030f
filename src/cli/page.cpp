#include <cstddef>
#include <filesystem>

#include "commands.hpp"
#include "kerfmark/cli/files.hpp"
#include "kerfmark/text/printable.hpp"
#include "kerfmark/trouble.hpp"

namespace kerfmark::cli {
namespace {

namespace fs = std::filesystem;

constexpr std::size_t largest_page = std::size_t{16} << 20;  // ten times what it is

// Where the page lies from the program: as installed, and as built from the sources.
fs::path installed_page() {
  std::error_code unknown;
  const fs::path folder = fs::read_symlink("/proc/self/exe", unknown).parent_path();
  for (const char* place : {"../share/kerfmark/kerfmark.html", "../page/kerfmark.html"}) {
    if (fs::is_regular_file(folder / place, unknown)) {
      return folder / place;
    }
  }
  throw Trouble("write", "the page", "it was not installed with this program");
}

}  // namespace

ExitStatus page(const PageRequest& request) {
  create_whole(request.file, read_whole(installed_page().string(), largest_page));
  print("Wrote " + text::harmless(request.file) +
        ". Open it in a browser, here or on a phone; it needs no network.\n");
  return ExitStatus::yes;
}

}  // namespace kerfmark::cli
