// print_sheets FOLDER [JOB.toml …]: sheets to look at and to render. Without jobs, one of each
// verdict and kind, both papers and both languages in turn; with jobs, each in both languages.

#include <filesystem>
#include <fstream>
#include <iostream>
#include <iterator>
#include <string>

#include "kerfmark/plan/keys.hpp"
#include "kerfmark/report/wording.hpp"
#include "sheets.hpp"

namespace {

using namespace kerfmark;

void print(const std::filesystem::path& file, const std::string& text,
           const sheet::SheetOptions& options) {
  const plan::Job job = sheets::read(text);
  const sheet::PrintedSheet printed = sheet::print_sheet(job, plan::plan_cut(job), options);
  std::ofstream(file, std::ios::binary) << printed.pdf;
}

void print_each(const std::filesystem::path& folder) {
  const std::string papers =
      "number = '2031'\nbike = 'grey road frame, size 50'\nowner = 'Oda Venn'\nby = 'Marrow'\n"
      "date = 2026-11-20\nnotes = 'Came with the 400 mm post of the larger sizes.'\n";
  int turn = 0;
  for (const plan::Kind kind :
       {plan::Kind::seatpost, plan::Kind::steerer, plan::Kind::handlebar, plan::Kind::mast}) {
    for (const plan::Verdict verdict :
         {plan::Verdict::cut, plan::Verdict::keep, plan::Verdict::hold, plan::Verdict::reject}) {
      const bool german = turn % 2 == 1;
      const bool on_letter = turn / 2 % 2 == 1;
      sheet::SheetOptions options =
          sheets::plain_options(german ? "de" : "en", on_letter ? sheet::letter : sheet::a4);
      options.shop.name = "Marrow & Venn";
      options.shop.line = "12 Canal Yard";
      options.digest = "3f9a1c07";
      const std::string name = std::string(report::word(verdict)) + "-" +
                               std::string(plan::word(kind)) + "-" + (on_letter ? "letter" : "a4") +
                               "-" + (german ? "de" : "en");
      print(folder / (name + ".pdf"), sheets::job_for(kind, verdict, papers), options);
      ++turn;
    }
  }
}

}  // namespace

int main(int count, char** arguments) {
  if (count < 2) {
    std::cerr << "usage: print_sheets FOLDER [JOB.toml ...]\n";
    return 2;
  }
  const std::filesystem::path folder = arguments[1];
  if (count == 2) {
    print_each(folder);
  }
  for (int i = 2; i < count; ++i) {
    const std::filesystem::path job = arguments[i];
    std::ifstream file(job);
    const std::string text{std::istreambuf_iterator<char>(file), {}};
    for (const char* language : {"en", "de"}) {
      print(folder / (job.stem().string() + "-" + language + ".pdf"), text,
            sheets::plain_options(language));
    }
  }
  return 0;
}
