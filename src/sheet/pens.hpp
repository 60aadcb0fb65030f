#pragma once

#include "kerfmark/sheet/pdf_canvas.hpp"

namespace kerfmark::sheet {

// How lines are drawn, after the line types of ISO 128-2: wide for edges, narrow for all else.
[[nodiscard]] inline Pen edge() { return {.width_mm = 0.4}; }
[[nodiscard]] inline Pen thin() { return {.width_mm = 0.2}; }
[[nodiscard]] inline Pen strong() { return {.width_mm = 0.7}; }
[[nodiscard]] inline Pen ghost() { return {.width_mm = 0.25, .dash_pt = {3, 2}}; }
[[nodiscard]] inline Pen phantom() { return {.width_mm = 0.2, .dash_pt = {2, 2}}; }
[[nodiscard]] inline Pen chain() { return {.width_mm = 0.3, .dash_pt = {6, 1, 1, 1}}; }

/// The line to saw at. Nothing else is drawn as wide.
[[nodiscard]] inline Pen saw_line() { return {.width_mm = 0.9}; }

}  // namespace kerfmark::sheet
