#pragma once

#include <cstdint>
#include <string>
#include <utility>
#include <vector>

#include "kerfmark/cli/run.hpp"
#include "shop.hpp"

/// The register of cuts. Everything is as it was typed; empty: not given.
namespace kerfmark::cli {

struct RecordRequest {
  std::string register_file;  ///< else the shop's, else the user's own
  SheetFlags on_sheet;        ///< of `shop` all of them know
  std::string job;
  std::string number;    ///< of a record
  std::string replaces;  ///< likewise
  std::string sheet;
  std::string find, kind, verdict, by, from, until;
  std::string file, format;
  std::string server;  ///< to set up
  std::string drop;    ///< a number in the queue
  std::string head;
  bool all = false;
  bool force = false;   ///< over a file that is there
  bool anyway = false;  ///< replaces a record of another kind or number, too
  bool yes = false;     ///< forgets, and does not only show what
  bool json = false;
};

/// Numbers of the newest records and which bicycle each is about. Throws Trouble where there is no
/// register, or none that can be read.
[[nodiscard]] std::vector<std::pair<std::int64_t, std::string>> newest_records(
    const RecordRequest& request);

[[nodiscard]] ExitStatus record_add(const RecordRequest& request);
[[nodiscard]] ExitStatus record_list(const RecordRequest& request);
[[nodiscard]] ExitStatus record_show(const RecordRequest& request);
[[nodiscard]] ExitStatus record_export(const RecordRequest& request);
[[nodiscard]] ExitStatus record_import(const RecordRequest& request);
[[nodiscard]] ExitStatus record_verify(const RecordRequest& request);
[[nodiscard]] ExitStatus record_backup(const RecordRequest& request);
[[nodiscard]] ExitStatus record_forget(const RecordRequest& request);
[[nodiscard]] ExitStatus record_setup(const RecordRequest& request);
[[nodiscard]] ExitStatus record_queue(const RecordRequest& request);

}  // namespace kerfmark::cli
