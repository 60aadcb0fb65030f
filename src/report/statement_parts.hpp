#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

#include "kerfmark/report/inches.hpp"
#include "kerfmark/report/statement.hpp"

/// Parts of a statement that are said before and after the cut alike.
namespace kerfmark::report {

/// Where figures are put, labelled by a row of [report.label]; without a value there is none.
class Figures {
 public:
  Figures(std::vector<Figure>& figures, const text::Words& words)
      : figures_(figures), words_(words) {}

  void add(std::string_view label_key, std::string value, bool in_brief = true,
           OnSheet on_sheet = OnSheet::listed) {
    if (!value.empty()) {
      figures_.push_back({words_.at(label_key), std::move(value), in_brief, on_sheet});
    }
  }
  void add(std::string_view label_key, std::string value, OnSheet on_sheet) {
    add(label_key, std::move(value), true, on_sheet);
  }
  /// For those who ask for everything.
  void add_detail(std::string_view label_key, std::string value,
                  OnSheet on_sheet = OnSheet::listed) {
    add(label_key, std::move(value), false, on_sheet);
  }
  /// One more of what stands above.
  void add_below(std::string value) {
    figures_.push_back({"", std::move(value), figures_.back().in_brief, figures_.back().on_sheet});
  }

 private:
  std::vector<Figure>& figures_;
  const text::Words& words_;
};

/// All of a statement that is another one once the part is cut.
void tell_after_cut(const Telling& telling, Statement& s);

[[nodiscard]] LimitLine limit_line(const plan::JudgedLimit& limit, const Telling& telling);

[[nodiscard]] StepAnswer answer_of(plan::RemedyKind kind);

/// What a remedy asks for, as a step to take.
[[nodiscard]] Step step_of(std::string why, const plan::Remedy& remedy, const Telling& telling);

/// The cuts that hold.
[[nodiscard]] std::string window(const Telling& telling);

/// What comes off, kerf and offcut.
[[nodiscard]] std::string cut_off(const Telling& telling, const LengthsToMark& marks);

/// What comes off, what is left, and of a cut which mark is sawn at.
void add_cut(const Telling& telling, Figures& figures, std::string left);

/// A part that nothing is left to be done with once it was cut.
[[nodiscard]] bool is_scrap(const plan::Judgement& now);

[[nodiscard]] std::string extension_in_words(const plan::AtHeights& extension,
                                             const Telling& telling);

/// "123.4 mm (saddle lowest 130.1, highest 110.2)".
[[nodiscard]] std::string insertion_in_words(const plan::AtHeights& insertion,
                                             const text::Words& words);

/// Saddle heights with the way they are measured; "none" where there are none.
[[nodiscard]] std::string saddle_heights_in_words(const std::optional<plan::Span>& heights,
                                                  const Telling& telling);

}  // namespace kerfmark::report
