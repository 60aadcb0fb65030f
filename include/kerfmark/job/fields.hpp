#pragma once

#include <string>
#include <string_view>
#include <vector>

#include "kerfmark/job/finding.hpp"
#include "kerfmark/plan/job.hpp"

/// What a job file says, value by value, for whoever shows it in a form.
namespace kerfmark::job {

/// One value as it was written.
struct Field {
  std::string path;                ///< "post.length", "frame.blockage-2.depth"
  std::vector<std::string> items;  ///< its readings, spacers or values, each as text
  std::string with, within;        ///< empty: not given
  std::string raw;                 ///< the very TOML of it
  int line = 0;                    ///< on which its value begins, from 1
  bool is_list = false;            ///< an array stands there, of however many
  bool is_plain = true;  ///< false: more than `items` can say, as of spacers with their doubts
};

struct Fields {
  std::string kind;                  ///< the word; empty when it is not one of the table
  std::vector<Field> fields;         ///< in the order of the keys
  std::vector<std::string> unknown;  ///< keys that no job of this kind has
  std::vector<Finding> findings;     ///< when the file is no TOML
};

/// Whether the values are any good is the reader's matter.
[[nodiscard]] Fields fields_of(std::string_view text);

}  // namespace kerfmark::job
