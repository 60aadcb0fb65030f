#include "kerfmark/job/stored_form.hpp"

#include <algorithm>
#include <array>
#include <string>

#include <doctest/doctest.h>

#include "../property/random_job.hpp"
#include "sample.hpp"

using namespace kerfmark;

namespace {

plan::Job job_of(const std::string& text) {
  job::Outcome outcome = job::read_job(text, "job.toml");
  REQUIRE_MESSAGE(outcome.job, sample::findings_of(text));
  return *std::move(outcome.job);
}

std::size_t longest_line(const std::string& text) {
  std::size_t longest = 0;
  std::size_t start = 0;
  while (start < text.size()) {
    const std::size_t end = std::min(text.find('\n', start), text.size());
    longest = std::max(longest, end - start);
    start = end + 1;
  }
  return longest;
}

}  // namespace

TEST_CASE("comments and people are cut out of the stored form and the rest says the same") {
  const std::string text = sample::replaced(
      std::string(sample::full_job) + "# Quillon paid in advance\n", "notes = \"none\"",
      "notes = \"\"\"Tell Quillon\nwhen it is \"done\".\"\"\"  # by phone");
  const job::StoredForm form = job::stored_form(text);
  CHECK(form.owner == "A. Rider");
  CHECK(form.notes == "Tell Quillon\nwhen it is \"done\".");
  for (const std::string gone : {"Quillon", "Rider", "paid", "phone", "owner", "notes", "#"}) {
    CAPTURE(gone);
    CHECK(form.job.find(gone) == std::string::npos);
  }
  const plan::Job job = job_of(text);
  CHECK(job::keeps(form, job));
  plan::Job blanked = job;
  blanked.paperwork.owner.clear();
  blanked.paperwork.notes.clear();
  CHECK(job::says_the_same(job_of(form.job), blanked));
  CHECK(job::stored_form(form.job).job == form.job);
}

TEST_CASE("a stored form that says something else is not taken for the job") {
  const std::string text(sample::full_job);
  const plan::Job job = job_of(text);
  const job::StoredForm form = job::stored_form(text);
  REQUIRE(job::keeps(form, job));
  for (const auto& [from, to] : std::to_array<std::pair<std::string, std::string>>(
           {{"kerf = 1.5", "kerf = 1.4"},
            {"rail_to_top = 45", "rail_to_top = \"4.5 cm\"\nlowest = 590"},
            {"bike = \"grey gravel\"", "bike = \"grey\""},
            {"twice = true", "twice = false"},
            {"kind = \"seatpost\"", "kind = \"bicycle\""}})) {
    CAPTURE(from);
    job::StoredForm other = form;
    other.job = sample::replaced(other.job, from, to);
    CHECK_FALSE(job::keeps(other, job));
  }
  job::StoredForm other = form;
  other.owner = "B. Rider";
  CHECK_FALSE(job::keeps(other, job));
}

TEST_CASE("numbers are stored as short as they are read back the same") {
  const std::string text = sample::replaced(std::string(sample::extension_job), "height = 140",
                                            "height = [140.10, 1.4e2, 0x8C, 1_40.3]");
  const job::StoredForm form = job::stored_form(text);
  CHECK(form.job.find("height = [140.1, 140.0, 140, 140.3]\n") != std::string::npos);
  CHECK(job::keeps(form, job_of(text)));
}

TEST_CASE("whatever a job may hold is stored in lines that are read again") {
  const auto with = [](const std::string& lines) {
    return std::string(sample::extension_job) + lines;
  };
  std::string readings;
  for (int i = 0; i < 2000; ++i) {
    readings += (i == 0 ? "" : i % 100 == 0 ? ",\n" : ", ") + std::string("140.1234567890123");
  }
  std::string instruments;
  for (int i = 0; i < 64; ++i) {
    instruments += "\"gauge in the third drawer of the bench below the window, number " +
                   std::to_string(i) + "\" = 0.5\n";
  }
  std::string blockages;
  for (int i = 0; i < 64; ++i) {
    blockages += "[[frame.blockage]]\nwhat = '''\"bo\\ss\"'''\ndepth = { read = [" +
                 std::to_string(300 + i) + ", 300], within = 19.0 }\n";
  }
  const auto texts = std::to_array<std::string>({
      with("[job]\nbike = \"tab\\t quote\\\" back\\\\slash \\u0001 \\u007F Zo\\u00EB\"\n"),
      with("[job]\nowner = 'only'\n"),
      with("[job]\ndate = 2026-05-01\n"),
      with("[measuring]\ninstruments = { \"a\\tb\" = 0.3, \"\\\"q\\\"\" = 0.4, \"ü\" = 1 }\n"),
      with("[measuring.instruments]\n" + instruments),
      with("[saw]\nkerf = -0.0\n"),
      sample::replaced(with(""), "height = 140", "height = [" + readings + "]"),
      sample::replaced(with(""), "height = 140",
                       "height = { within = 1e0, read = [" + readings + "] }"),
      with(blockages),
      "\xEF\xBB\xBF" + with("[job]\r\nnumber = \"7\"\r\n"),
  });
  for (const std::string& text : texts) {
    CAPTURE(text.substr(sample::extension_job.size(), 100));
    const plan::Job job = job_of(text);
    const job::StoredForm form = job::stored_form(text);
    CHECK(job::keeps(form, job));
    CHECK(longest_line(form.job) <= job::most_bytes_in_a_line / 2);
  }
}

TEST_CASE("the stored form of random jobs says the same") {
  constexpr unsigned seed = 20261120;
  random_job::Random random(seed);
  std::size_t kept = 0;
  for (std::size_t i = 0; i < 300; ++i) {
    const auto tables = random_job::make(i, random);
    for (const auto units : {random_job::Units::metric, random_job::Units::imperial}) {
      const std::string text = random_job::text_of(tables, units);
      const job::Outcome outcome = job::read_job(text, "job.toml");
      if (outcome.job) {
        CAPTURE(text);
        CHECK(job::keeps(job::stored_form(text), *outcome.job));
        ++kept;
      }
    }
  }
  CAPTURE(seed);
  CHECK(kept > 400);
}
