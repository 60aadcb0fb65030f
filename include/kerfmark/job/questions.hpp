#pragma once

#include <cstddef>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "kerfmark/job/finding.hpp"
#include "kerfmark/plan/job.hpp"
#include "kerfmark/plan/keys.hpp"

/// A job by question and answer. What is asked, and in which order, comes from the table of keys
/// and the template; an answer is good when the reader takes the job file that it makes.
namespace kerfmark::job {

struct Question {
  const plan::Key* key = nullptr;
  std::string path;         ///< "saddle.height", "frame.blockage-2.depth"
  std::string unit;         ///< "mm", "deg", "kg"; empty: none
  bool needed = false;      ///< no answer is no answer
  std::string fallback;     ///< what counts where nothing is answered; empty: the key is left out
  bool takes_none = false;  ///< "none" is an answer: there is no such thing
  bool another = false;     ///< of a table that there may be several of, and not the first
  bool again = false;       ///< a second reading of what was measured
};

/// As it was typed; an empty text takes the default or leaves the key out.
struct Answer {
  std::string path;
  bool again = false;
  std::string text;
  bool operator==(const Answer&) const = default;
};
using Answers = std::vector<Answer>;

/// What is to be asked next, after these answers; nothing: all that most jobs need was asked.
[[nodiscard]] std::optional<Question> next_question(plan::Kind kind, const Answers& answers);

/// Whether a text gives no answer: it is empty, or "none" of something that there always is.
[[nodiscard]] bool is_no_answer(const Question& question, std::string_view text);

/// Whether nothing is left to be asked that is needed.
[[nodiscard]] bool has_what_is_needed(plan::Kind kind, const Answers& answers);

/// For a second reading of a measured value that was asked for; nothing where it was not answered
/// by one figure, or was read again already.
[[nodiscard]] std::optional<Question> second_reading(plan::Kind kind, const Answers& answers,
                                                     std::string_view path);

/// The commented job file that the answers make.
[[nodiscard]] std::string job_of_answers(plan::Kind kind, const Answers& answers);

/// What the reader says against an answer, as the last of these answers; what is still to be asked
/// is no fault.
[[nodiscard]] std::vector<Finding> against_last(plan::Kind kind, const Answers& answers);

/// How an answer may look: the range, the words to choose from, the default.
[[nodiscard]] std::string constraints_on(const Question& question, plan::Kind kind,
                                         const Answers& answers);

/// The words of a choice; empty: the key is no choice.
[[nodiscard]] std::vector<std::string_view> choices_of(const Question& question);

}  // namespace kerfmark::job
