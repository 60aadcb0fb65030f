#pragma once

#include <cstdint>
#include <span>
#include <string>
#include <string_view>
#include <vector>

#include "database.hpp"
#include "kerfmark/register/register.hpp"

/// How a register looks inside, and how one of an older version becomes one of today's.
namespace kerfmark::records {

/// In the header of the file, so that it is known for what it is: "kerf" in ASCII.
inline constexpr std::int32_t application_id = 0x6B657266;

/// SQL that takes a file from version i to version i + 1; the version of a register is the count of
/// the steps it has gone, in the header of the file as user_version.
[[nodiscard]] std::span<const std::string_view> steps();

/// Columns that the hash of a record of this encoding is made of, in their order.
[[nodiscard]] std::span<const std::string_view> hashed_columns(std::int64_t encoding);
inline constexpr std::int64_t encoding_now = 2;
/// What a record has in place of a kind of part when it says that people's data were forgotten.
inline constexpr std::string_view kind_of_forgetting = "forget";

/// Throws Trouble unless the file begins as a register of a version that this program knows. The
/// file is only read, and not by SQLite.
void refuse_unless_register(const std::string& path, std::span<const std::string_view> known);

/// A new register in an empty file, without a log.
[[nodiscard]] std::unique_ptr<Database> new_in(const std::string& path,
                                               std::span<const std::string_view> known);

/// Makes a new register of these steps under `path`, unless there is something meanwhile: it comes
/// into being whole.
void create(const std::string& path, std::span<const std::string_view> known);

/// Opens what is there, and takes it through the steps it lacks, all or none. To be read only, it
/// is the file itself where this user may write to it, else a copy in memory as of one moment, so
/// that no log or index of it is left behind that its owner cannot use.
[[nodiscard]] std::unique_ptr<Database> open(const std::string& path,
                                             std::span<const std::string_view> known,
                                             Use use = Use::writing);

/// A new register that holds all records of one on a server, in a file that is not there.
void write_copy(Engine& from, const std::string& path, const Progress& progress);

}  // namespace kerfmark::records
