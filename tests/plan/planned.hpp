#pragma once

#include <algorithm>
#include <array>
#include <charconv>
#include <cmath>
#include <initializer_list>
#include <ostream>
#include <string>
#include <string_view>

#include <doctest/doctest.h>

#include "kerfmark/job/reader.hpp"
#include "kerfmark/plan/plan.hpp"
#include "kerfmark/text/words.hpp"

namespace kerfmark::measure {

// For messages of failed checks.
inline std::ostream& operator<<(std::ostream& out, Length length) {
  return out << length.in_mm() << " mm";
}

}  // namespace kerfmark::measure

/// Plans of job files given as text, and figures to hold them against.
namespace planned {

/// Sums of a few hundred millimetres miss by some 1e-13 in binary; the program forgives 1e-9.
inline constexpr double arithmetic = 1e-9;

struct Near {
  double value;
  double within = arithmetic;
};

inline bool operator==(double left, const Near& right) {
  return std::abs(left - right.value) <= right.within;
}
inline bool operator==(kerfmark::plan::Length left, const Near& right) {
  return left.in_mm() == right;
}
inline std::ostream& operator<<(std::ostream& out, const Near& near) {
  return out << near.value << " +- " << near.within;
}

inline kerfmark::plan::Job job_of(std::string_view text) {
  const auto outcome = kerfmark::job::read_job(text, "job.toml");
  std::string findings;
  for (const auto& finding : outcome.findings) {
    findings += kerfmark::job::one_line(finding) + "\n";
  }
  INFO(findings, text);
  REQUIRE(outcome.job.has_value());
  return *outcome.job;
}

inline kerfmark::plan::Plan plan_of(std::string_view text) {
  return kerfmark::plan::plan_cut(job_of(text));
}

/// The sentences of a language, read once.
inline const kerfmark::text::Words& english() {
  static const kerfmark::text::Words words = kerfmark::text::words_in("en");
  return words;
}
inline const kerfmark::text::Words& german() {
  static const kerfmark::text::Words words = kerfmark::text::words_in("de");
  return words;
}

inline const kerfmark::plan::JudgedLimit* find_limit(const kerfmark::plan::Plan& plan,
                                                     std::string_view id) {
  const auto found = std::ranges::find_if(
      plan.before.limits, [&](const kerfmark::plan::JudgedLimit& l) { return l.id() == id; });
  return found == plan.before.limits.end() ? nullptr : &*found;
}

inline const kerfmark::plan::JudgedLimit& limit_of(const kerfmark::plan::Plan& plan,
                                                   std::string_view id) {
  const auto* const found = find_limit(plan, id);
  INFO("limit ", id);
  REQUIRE(found != nullptr);
  return *found;
}

inline bool warns(const kerfmark::plan::Plan& plan, kerfmark::plan::Caution caution) {
  return std::ranges::find(plan.cautions, caution) != plan.cautions.end();
}

inline bool holds_for(const kerfmark::plan::Plan& plan, kerfmark::plan::HoldReason reason) {
  return std::ranges::any_of(plan.before.holds,
                             [&](const auto& hold) { return hold.reason == reason; });
}

/// min(2·u, worst case) of independent readings, each given as slope times half-width: rectangular
/// u = w/√3 (JCGM 100:2008 4.3.7), combined by 5.1.2, written out here once more.
inline double guard(std::initializer_list<double> reaches) {
  double squares = 0.0;
  double sum = 0.0;
  for (const double reach : reaches) {
    squares += reach * reach;
    sum += std::abs(reach);
  }
  return std::min(2.0 * std::sqrt(squares / 3.0), sum);
}

/// The shortest text that reads back as the same value.
inline std::string number(double value) {
  std::array<char, 32> text{};
  return {text.data(), std::to_chars(text.data(), text.data() + text.size(), value).ptr};
}

inline std::string replaced(std::string text, std::string_view from, std::string_view to) {
  const auto at = text.find(from);
  INFO("replaces ", from);
  REQUIRE(at != std::string::npos);
  return text.replace(at, from.size(), to);
}

}  // namespace planned
