#pragma once

#include <string>

#include "kerfmark/plan/job.hpp"

namespace kerfmark::report {

/// The figures and choices of a job in one form, whatever the order, units, comments and names of
/// its file: the line "kerfmark figures 1", then in the order of their bytes one line for each key
/// that says something else than its default, "\n" behind each:
///
///     frame.blockage-2.depth=190.500000000 within 1.000000000
///     post.length=400.000000000;400.500000000 within 0.500000000
///     post.grip=60.000000000;180.000000000
///     post.material=carbon
///
/// Readings in their order with their half-width, lists without one; nine decimals of mm, degrees
/// or kg; rings by number. Without [job], blockage.what and what is measured after the cut. The
/// half-width of a new post, for [stock], has the key stock.within where it is not the built-in
/// one.
[[nodiscard]] std::string figures_of(const plan::Job& job);

/// A short name for the figures, to match a sheet and a job file by: the first 8 digits of the
/// SHA-256 of figures_of(job) in two groups, "3f9a-c210". It is no seal.
[[nodiscard]] std::string digest_of(const plan::Job& job);

/// The same for figures of several jobs, put together by the caller.
[[nodiscard]] std::string digest_of_figures(const std::string& figures);

}  // namespace kerfmark::report
