#pragma once

#include <algorithm>
#include <type_traits>

#include "kerfmark/plan/keys.hpp"

/// Adds to every value that came from this reading, as if the instrument had shown so much more.
inline void shift(kerfmark::plan::Job& job, kerfmark::measure::ReadingIndex reading, double by) {
  const auto shift_one = [&](auto& measured) {
    using Quantity = std::remove_cvref_t<decltype(measured.nominal)>;
    if (measured.reading == reading) {
      measured.nominal = measured.nominal + Quantity::from_base(by);
    }
  };
  kerfmark::plan::for_every_measured(job, shift_one);
  for (auto* chosen : {&job.wished.below, &job.wished.lowest, &job.wished.highest}) {
    if (*chosen) {
      std::ranges::for_each(**chosen, shift_one);
    }
  }
}
