#pragma once

#include <type_traits>
#include <variant>

#include "kerfmark/plan/keys.hpp"

/// Adds to every value that came from this reading, as if the instrument had shown so much more.
inline void shift(kerfmark::plan::Job& job, kerfmark::measure::ReadingIndex reading, double by) {
  const auto move = [&](auto& maybe) {
    using Quantity = std::remove_cvref_t<decltype(maybe->nominal)>;
    if (maybe && maybe->reading == reading) {
      maybe->nominal = maybe->nominal + Quantity::from_base(by);
    }
  };
  for (const kerfmark::plan::Key& key : kerfmark::plan::keys()) {
    const std::size_t rows =
        kerfmark::plan::table_of(key.path) == "frame.blockage" ? job.frame.blockages.size() : 1;
    for (std::size_t row = 0; row < rows; ++row) {
      if (const auto* length = std::get_if<kerfmark::plan::LengthSlot>(&key.slot)) {
        move((*length)(job, row));
      } else if (const auto* angle = std::get_if<kerfmark::plan::AngleSlot>(&key.slot)) {
        move((*angle)(job, row));
      } else if (const auto* mass = std::get_if<kerfmark::plan::MassSlot>(&key.slot)) {
        move((*mass)(job, row));
      } else if (const auto* rings = std::get_if<kerfmark::plan::RingsSlot>(&key.slot)) {
        if (auto& list = (*rings)(job, row)) {
          for (auto& ring : *list) {
            if (ring.reading == reading) {
              ring.nominal = ring.nominal + kerfmark::measure::millimetres(by);
            }
          }
        }
      }
    }
  }
}
