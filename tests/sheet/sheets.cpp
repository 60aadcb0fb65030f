#include "sheets.hpp"

#include <cstdlib>
#include <iostream>

#include "kerfmark/job/reader.hpp"
#include "kerfmark/text/words.hpp"

namespace sheets {

std::string text_of(const PostJob& job) {
  return "kind = 'seatpost'\n[job]\n" + job.paperwork + "[measuring]\n" + job.measuring +
         "[saddle]\nmeasured = 'extension'\nheight = 140\n" + job.blockages +
         "[post]\nlength = " + job.length + "\ndiameter = 27.2\nmark = 100\nmaterial = '" +
         job.material + "'\ncutting = '" + job.cutting + "'\n" + job.more_of_post + job.more;
}

std::string text_of(const SteererJob& job) {
  return "kind = 'steerer'\n[job]\n" + job.paperwork + "[measuring]\n" + job.measuring +
         "[steerer]\nmaterial = '" + job.material + "'\nlength = " + job.length +
         "\n[frame]\nhead_tube = 150\n[headset]\nlower = { read = 0, within = 0 }\nupper = "
         "12\n[stem]\nclamp = 40\n[spacers]\nbelow "
         "= " +
         job.below + "\nabove = " + job.above + "\n" + job.more;
}

namespace {

// 780 wide, 740 wanted: 20 off each end, unless something is changed.
std::string handlebar_for(plan::Verdict verdict, const std::string& paperwork) {
  const bool hold = verdict == plan::Verdict::hold;
  return "kind = 'handlebar'\n[job]\n" + paperwork +
         "[handlebar]\nwidth = 780\nwanted = " + (verdict == plan::Verdict::keep ? "780" : "740") +
         "\nstraight = 190\ndiameter = 22.2\nmaterial = '" + (hold ? "carbon" : "aluminium") +
         "'\ncutting = '" + (hold ? "not stated" : "allowed") + "'\n" +
         (verdict == plan::Verdict::reject ? "max_cut = 10\n" : "") +
         "[[controls]]\nwhat = 'grip'\nwidth = 130\n[[controls]]\nwhat = 'lever'\nwidth = 35\n";
}

// 180 long, the topper down at 148 on 115.5: 64 off the top, unless something is changed.
std::string mast_for(plan::Verdict verdict, const std::string& paperwork) {
  return "kind = 'mast'\n[job]\n" + paperwork +
         "[saddle]\nmeasured = 'extension'\nheight = 150\nlowest = 148\nhighest = 154\n"
         "[topper]\nrise = 32.5\nspacers_most = 20\ngoes = 'over'\ngrip = 62\nmin_grip = 40\n"
         "[mast]\nlength = " +
         (verdict == plan::Verdict::keep ? "117" : "180") +
         "\nkeep = 60\ndiameter = 34.9\nmaterial = 'carbon'\ncutting = '" +
         (verdict == plan::Verdict::hold ? "not stated" : "allowed") + "'\n" +
         (verdict == plan::Verdict::reject ? "max_cut = 30\n" : "");
}

}  // namespace

std::string job_for(plan::Kind kind, plan::Verdict verdict, const std::string& paperwork) {
  PostJob post{.paperwork = paperwork};
  SteererJob steerer{.paperwork = paperwork};
  if (verdict == plan::Verdict::keep) {
    post.length = "350";
    steerer.length = "229";
  } else if (verdict == plan::Verdict::hold) {
    post.material = "carbon";
    post.cutting = "not stated";
    steerer.above = "0";
  } else if (verdict == plan::Verdict::reject) {
    post.more_of_post = "max_cut = 30\n";
    steerer.below = "[10, 10, 15]";
    steerer.more = "max_below = 30\n";
  }
  if (kind == plan::Kind::handlebar) {
    return handlebar_for(verdict, paperwork);
  }
  if (kind == plan::Kind::mast) {
    return mast_for(verdict, paperwork);
  }
  return kind == plan::Kind::seatpost ? text_of(post) : text_of(steerer);
}

plan::Job read(const std::string& text) {
  job::Outcome outcome = job::read_job(text, "job.toml");
  if (!outcome.job) {
    for (const job::Finding& finding : outcome.findings) {
      std::cerr << job::with_source_line(finding, text);
    }
    std::abort();
  }
  return *outcome.job;
}

sheet::SheetOptions plain_options(std::string_view language, sheet::Paper paper) {
  return {
      .paper = paper, .words = text::words_in(language), .shop = {}, .digest = {}, .record = {}};
}

std::string repeated(std::string_view piece, std::size_t times) {
  std::string text;
  for (std::size_t i = 0; i < times; ++i) {
    text += piece;
  }
  return text;
}

std::string paperwork(const std::string& value) {
  std::string text;
  for (const char* key : {"number", "bike", "owner", "by", "checked_by", "date"}) {
    text += std::string(key) + " = '" + value + "'\n";
  }
  return text;
}

}  // namespace sheets
