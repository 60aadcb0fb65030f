#include "kerfmark/job/questions.hpp"

#include <string>
#include <string_view>

#include <doctest/doctest.h>

#include "kerfmark/plan/keys.hpp"

using namespace kerfmark;

namespace {

// Whether `looked_for` is asked, one key being given and all else left out.
bool asks_for(std::string_view looked_for, plan::Kind kind, std::string_view given) {
  constexpr int most_questions = 200;
  job::Answers answers;
  if (!given.empty()) {
    answers.push_back({std::string(given), false, "110"});
  }
  for (int i = 0; i < most_questions; ++i) {
    const auto question = job::next_question(kind, answers);
    if (!question) {
      return false;
    }
    if (question->path == looked_for) {
      return true;
    }
    answers.push_back({question->path, false, ""});
  }
  FAIL("the questions have no end");
  return false;
}

}  // namespace

TEST_CASE("a limit on the mass of a rider asks for that mass whichever part has it") {
  for (std::size_t i = 0; i < plan::number_of_kinds; ++i) {
    const auto kind = static_cast<plan::Kind>(i);
    CAPTURE(plan::word(kind));
    const std::string of_part = std::string(plan::table_of_part(kind)) + ".max_rider";
    CHECK(asks_for("rider.mass", kind, of_part));
    CHECK(asks_for("rider.mass", kind, "frame.max_rider"));
    CHECK_FALSE(asks_for("rider.mass", kind, ""));
  }
}
