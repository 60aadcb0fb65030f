#include "own_folder.hpp"

#include <string>
#include <system_error>

#include "environment.hpp"
#include "kerfmark/trouble.hpp"

namespace kerfmark::cli {
namespace {

namespace fs = std::filesystem;

// By the XDG Base Directory Specification 0.8: $XDG_DATA_HOME, if it is an absolute path, else
// ~/.local/share.
fs::path data_folder() {
  fs::path given(environment("XDG_DATA_HOME"));
  if (given.is_absolute()) {
    return given;
  }
  const fs::path home(environment("HOME"));
  if (!home.is_absolute()) {
    throw Trouble("find", "the register", "there is no HOME; name one by --register");
  }
  return home / ".local" / "share";
}

// The specification asks for folders that only their owner may look into.
void make_private(const fs::path& folder) {
  std::error_code error;
  if (fs::is_directory(folder, error)) {
    return;
  }
  make_private(folder.parent_path());
  if (!fs::create_directory(folder, error) && error) {
    throw Trouble("make the folder", folder.string(), error.message());
  }
  fs::permissions(folder, fs::perms::owner_all, error);
}

}  // namespace

fs::path own_folder(bool make) {
  fs::path folder = data_folder() / "kerfmark";
  if (make) {
    make_private(folder);
  }
  return folder;
}

}  // namespace kerfmark::cli
