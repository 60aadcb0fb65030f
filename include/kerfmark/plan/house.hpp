#pragma once

#include <string>
#include <vector>

#include "kerfmark/measure/quantity.hpp"

namespace kerfmark::plan {

/// A value of the workshop and not of a bicycle, for every job that does not say another: the
/// shop's, else the built-in one. The half-width of an instrument has the key
/// "measuring.instruments." and its name.
struct HouseValue {
  std::string key;
  measure::Dimension dimension = measure::Dimension::length;
  std::vector<double> values = {};  ///< in mm, degrees or 1; of a flag 1 or 0
  bool is_flag = false;
  bool is_list = false;
  bool of_shop = false;
};

}  // namespace kerfmark::plan
