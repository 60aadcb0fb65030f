#include "libpq.hpp"

#include <dlfcn.h>

#include "kerfmark/trouble.hpp"

namespace kerfmark::records {
namespace {

constexpr const char* library = "libpq.so.5";

[[noreturn]] void refuse() {
  throw Trouble("load", library,
                "a register on a server needs PostgreSQL's client library; install the package "
                "libpq5");
}

template <class Function>
void find(void* handle, const char* name, Function& function) {
  void* const found = ::dlsym(handle, name);
  if (found == nullptr) {
    refuse();
  }
  // The one way to a function of a library that is loaded later.
  function =
      reinterpret_cast<Function>(found);  // NOLINT(cppcoreguidelines-pro-type-reinterpret-cast)
}

Libpq load() {
  void* const handle = ::dlopen(library, RTLD_NOW | RTLD_LOCAL);
  if (handle == nullptr) {
    refuse();
  }
  Libpq all;
  find(handle, "PQclear", all.clear);
  find(handle, "PQcmdStatus", all.command_status);
  find(handle, "PQconnectdbParams", all.connect);
  find(handle, "PQconninfo", all.options_in_use);
  find(handle, "PQconninfoFree", all.free_options);
  find(handle, "PQconninfoParse", all.parse_name);
  find(handle, "PQenterPipelineMode", all.enter_pipeline);
  find(handle, "PQerrorMessage", all.error);
  find(handle, "PQexec", all.exec);
  find(handle, "PQexitPipelineMode", all.exit_pipeline);
  find(handle, "PQfinish", all.finish);
  find(handle, "PQfreemem", all.free_memory);
  find(handle, "PQftype", all.type);
  find(handle, "PQgetisnull", all.is_null);
  find(handle, "PQgetlength", all.length);
  find(handle, "PQgetResult", all.next_result);
  find(handle, "PQgetvalue", all.value);
  find(handle, "PQntuples", all.rows);
  find(handle, "PQpingParams", all.ping);
  find(handle, "PQpipelineSync", all.sync);
  find(handle, "PQresultErrorField", all.error_field);
  find(handle, "PQresultStatus", all.result_status);
  find(handle, "PQsendPrepare", all.send_prepare);
  find(handle, "PQsendQueryPrepared", all.send_prepared);
  find(handle, "PQsetNoticeProcessor", all.on_notice);
  find(handle, "PQsetSingleRowMode", all.row_by_row);
  find(handle, "PQstatus", all.status);
  find(handle, "PQuser", all.user);
  return all;
}

}  // namespace

const Libpq& libpq() {
  static const Libpq loaded = load();
  return loaded;
}

}  // namespace kerfmark::records
