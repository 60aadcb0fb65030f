#pragma once

#include <vector>

#include "kerfmark/measure/estimate.hpp"

namespace kerfmark::measure {

/// Comparisons of margins forgive this much (mm, kg): sums of decimal figures such as 37.0 − 34.6
/// miss by some 1e-14 in binary, and no workshop measures a nanometre.
inline constexpr double grain = 1e-9;

/// u = √(Σ slope²·w²/3), readings independent and rectangular within ±w (JCGM 100:2008 4.3.7,
/// 5.1.2), in the unit of the estimate.
[[nodiscard]] double standard_uncertainty(const Slopes& slopes, const Readings& readings);

/// Σ |slope|·w: no set of true values within the half-widths is farther off, to first order.
[[nodiscard]] double worst_case(const Slopes& slopes, const Readings& readings);

/// min(k·u, worst case): how much of a margin doubt may eat up (guarded acceptance,
/// JCGM 106:2012 8.3).
[[nodiscard]] double guard(const Slopes& slopes, const Readings& readings, double coverage);

/// One reading's part of u².
struct Share {
  ReadingIndex reading = 0;
  double of_variance = 0.0;
  bool operator==(const Share&) const = default;
};

/// Largest first, equal ones in the order of the table; readings without doubt or without
/// influence are left out. The parts sum to 1, or there are none.
[[nodiscard]] std::vector<Share> shares(const Slopes& slopes, const Readings& readings);

/// |d| ≤ k·u(d), the rule for two routes to one value (|E_n| ≤ 1, ISO/IEC 17043:2010 B.3).
[[nodiscard]] bool routes_agree(double difference, double standard_uncertainty, double coverage);

enum class Status { holds, in_doubt, broken };

/// A margin m (positive is good) against its guard g: holds m ≥ g; broken m < 0 and m ≤ −g; else
/// in doubt; tested in this order.
[[nodiscard]] Status status_of(double margin, double guard);

}  // namespace kerfmark::measure
