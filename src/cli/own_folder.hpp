#pragma once

#include <filesystem>

/// Where the program keeps what is a user's own.
namespace kerfmark::cli {

/// The folder kerfmark in the user's folder for data, which only the user may look into; it is made
/// where it is not there, if it is to be. Throws Trouble.
[[nodiscard]] std::filesystem::path own_folder(bool make);

}  // namespace kerfmark::cli
