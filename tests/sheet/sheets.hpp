#pragma once

#include <string>
#include <string_view>
#include <vector>

#include "kerfmark/plan/plan.hpp"
#include "kerfmark/sheet/sheet.hpp"

/// Jobs whose sheets are looked at: one of each verdict and kind, as small as they can be.
namespace sheets {

using namespace kerfmark;

/// A post that stands on a lip 225 mm below the collar edge: a cut, unless something is changed.
struct PostJob {
  std::string paperwork = "number = '2031'\n";
  std::string measuring = {};
  std::string blockages = "[[frame.blockage]]\nwhat = 'lip'\ndepth = 225\n";
  std::string length = "400";
  std::string material = "aluminium";
  std::string cutting = "allowed";
  std::string more_of_post = {};
  std::string more = {};  ///< further tables
};

/// A steerer 68 mm above its stack: a cut, unless something is changed.
struct SteererJob {
  std::string paperwork = "number = '2032'\n";
  std::string measuring = {};
  std::string length = "300";
  std::string material = "carbon";
  std::string below = "25";
  std::string above = "5";
  std::string more = {};  ///< of the rings, then further tables
};

[[nodiscard]] std::string text_of(const PostJob& job);
[[nodiscard]] std::string text_of(const SteererJob& job);

/// A job of this kind that gets this verdict, with the paperwork (TOML) given.
[[nodiscard]] std::string job_for(plan::Kind kind, plan::Verdict verdict,
                                  const std::string& paperwork);

/// A job as the reader gives it; must be a good one.
[[nodiscard]] plan::Job read(const std::string& text);

/// Options without a shop.
[[nodiscard]] sheet::SheetOptions plain_options(std::string_view language = "en",
                                                sheet::Paper paper = sheet::a4);

[[nodiscard]] std::string repeated(std::string_view piece, std::size_t times);

/// The same text in every field of the paperwork but the notes.
[[nodiscard]] std::string paperwork(const std::string& value);

}  // namespace sheets
