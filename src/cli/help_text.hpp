#pragma once

#include <cstddef>
#include <string>
#include <string_view>

namespace kerfmark::cli {

/// The help of a command in lines of `width` cells. What does not fit goes on below the text that
/// it belongs to, behind the name of an option for instance.
[[nodiscard]] std::string fitted(std::string_view help, std::size_t width);

}  // namespace kerfmark::cli
