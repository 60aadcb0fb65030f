#pragma once

#include <libpq-fe.h>

/// PostgreSQL's client library. It is loaded when a register is on a server and not before: to load
/// it takes longer than all that the program does for one who has no server.
namespace kerfmark::records {

struct Libpq {
  decltype(&PQclear) clear = nullptr;
  decltype(&PQcmdStatus) command_status = nullptr;
  decltype(&PQconnectdbParams) connect = nullptr;
  decltype(&PQconninfo) options_in_use = nullptr;
  decltype(&PQconninfoFree) free_options = nullptr;
  decltype(&PQconninfoParse) parse_name = nullptr;
  decltype(&PQenterPipelineMode) enter_pipeline = nullptr;
  decltype(&PQerrorMessage) error = nullptr;
  decltype(&PQexec) exec = nullptr;
  decltype(&PQexitPipelineMode) exit_pipeline = nullptr;
  decltype(&PQfinish) finish = nullptr;
  decltype(&PQfreemem) free_memory = nullptr;
  decltype(&PQftype) type = nullptr;
  decltype(&PQgetisnull) is_null = nullptr;
  decltype(&PQgetlength) length = nullptr;
  decltype(&PQgetResult) next_result = nullptr;
  decltype(&PQgetvalue) value = nullptr;
  decltype(&PQntuples) rows = nullptr;
  decltype(&PQpingParams) ping = nullptr;
  decltype(&PQpipelineSync) sync = nullptr;
  decltype(&PQresultErrorField) error_field = nullptr;
  decltype(&PQresultStatus) result_status = nullptr;
  decltype(&PQsendPrepare) send_prepare = nullptr;
  decltype(&PQsendQueryPrepared) send_prepared = nullptr;
  decltype(&PQsetNoticeProcessor) on_notice = nullptr;
  decltype(&PQsetSingleRowMode) row_by_row = nullptr;
  decltype(&PQstatus) status = nullptr;
  decltype(&PQuser) user = nullptr;
};

/// Throws Trouble where it is not installed.
[[nodiscard]] const Libpq& libpq();

}  // namespace kerfmark::records
