#pragma once

#include <memory>
#include <string>

#include "database.hpp"

/// Reading a register that this user may not write to.
namespace kerfmark::records {

/// Whether this user may write to the file and make others beside it, as the database does even to
/// read: files of this user's that the owner of the register could not write to.
[[nodiscard]] bool may_be_written(const std::string& path);

/// All of the register as of one moment, in memory. Makes no file.
[[nodiscard]] std::unique_ptr<Database> copy_in_memory(const std::string& path);

}  // namespace kerfmark::records
