#pragma once

#include <string>

#include "kerfmark/plan/job.hpp"

/// What is measured after a cut, written with the keys of the kind of part.
namespace as_cut {

/// The shortest and the longest that may be left.
struct Range {
  double least, most;
};
inline Range left_of(kerfmark::plan::Kind kind) {
  switch (kind) {
    case kerfmark::plan::Kind::handlebar:
      return {300, 1000};
    case kerfmark::plan::Kind::mast:
      return {20, 400};
    case kerfmark::plan::Kind::seatpost:
    case kerfmark::plan::Kind::steerer:
      return {50, 700};
  }
  return {};
}

inline std::string left(kerfmark::plan::Kind kind, const std::string& length) {
  const bool bar = kind == kerfmark::plan::Kind::handlebar;
  return (bar ? "width = " : "length = ") + length + "\n";
}

/// Of how many ends something comes off.
inline double ends(kerfmark::plan::Kind kind) {
  return kind == kerfmark::plan::Kind::handlebar ? 2 : 1;
}

/// What came off each end.
inline std::string offcut(kerfmark::plan::Kind kind, const std::string& length) {
  const bool bar = kind == kerfmark::plan::Kind::handlebar;
  return bar ? "offcut_left = " + length + "\noffcut_right = " + length + "\n"
             : "offcut = " + length + "\n";
}

}  // namespace as_cut
