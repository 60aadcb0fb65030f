#pragma once

#include <string>

#include "kerfmark/report/telling.hpp"
#include "kerfmark/report/view.hpp"

/// The side views, each in its kind's own file.
namespace kerfmark::report {

[[nodiscard]] std::string view_of_seatpost(const Telling& telling, Extent extent, const View& view);
[[nodiscard]] std::string view_of_steerer(const Telling& telling, Extent extent, const View& view);
[[nodiscard]] std::string view_of_handlebar(const Telling& telling, Extent extent,
                                            const View& view);
[[nodiscard]] std::string view_of_mast(const Telling& telling, Extent extent, const View& view);

}  // namespace kerfmark::report
