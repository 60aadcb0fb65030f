#include "kerfmark/schema/schema.hpp"

#include <array>

#include "job.hpp"
#include "kerfmark/report/json_object.hpp"
#include "result.hpp"

namespace kerfmark::schema {
namespace {

constexpr auto names =
    std::to_array<std::string_view>({"job", "shop", "result", "record", "sizes", "rules"});

Node node_of(Document document) {
  switch (document) {
    case Document::job:
      return job_schema();
    case Document::shop:
      return shop_schema();
    case Document::result:
      return result_schema();
    case Document::record:
      return record_schema();
    case Document::sizes:
      return sizes_schema();
    case Document::rules:
      return rules_schema();
  }
  return {};
}

}  // namespace

std::span<const std::string_view> documents() { return names; }

std::string schema_of(Document document) { return report::json_for_people(node_of(document).json); }

}  // namespace kerfmark::schema
