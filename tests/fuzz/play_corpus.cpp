// Runs a fuzz target on files instead of libFuzzer's inventions: play_corpus FOLDER-OR-FILE...
// Each file as it is, so that every find stays a test in every build; each beginning of it; and
// some copies with bytes changed, taken out, put in or doubled, the same ones every time.
#include <algorithm>
#include <filesystem>
#include <fstream>
#include <iostream>
#include <random>
#include <sstream>
#include <string>
#include <vector>

#include "fuzz.hpp"

namespace {

void run(const std::string& input) {
  const std::vector<std::uint8_t> bytes(input.begin(), input.end());
  LLVMFuzzerTestOneInput(bytes.data(), bytes.size());
}

std::string changed(std::string text, std::mt19937& random) {
  static const std::vector<std::string> pieces = {
      "[", "]",  "[[", "]]", "{", "}", "\"", "'",    "=",    ",", ".", "#",   "\n",  "\t",
      "-", "e9", "in", "mm", "/", "°", "⅜",  "\xFF", "\x80", "1", "0", "nan", "inf", "\\u0000"};
  const auto below = [&random](std::size_t end) {
    return static_cast<std::size_t>(random()) % std::max<std::size_t>(end, 1);
  };
  for (std::size_t edits = 1 + below(4); edits > 0; --edits) {
    const std::size_t at = below(text.size() + 1);
    switch (below(4)) {
      case 0:
        text.insert(at, pieces[below(pieces.size())]);
        break;
      case 1:
        text.erase(at, 1 + below(8));
        break;
      case 2:
        text.insert(at, text.substr(below(text.size()), below(40)));
        break;
      default:
        if (at < text.size()) {
          text[at] = static_cast<char>(random() & 0xFFU);
        }
    }
  }
  return text;
}

}  // namespace

int main(int argc, char** argv) {
  constexpr int copies = 200;
  std::vector<std::filesystem::path> files;
  for (const std::filesystem::path path : std::vector<const char*>(argv + 1, argv + argc)) {
    if (std::filesystem::is_directory(path)) {
      files.insert(files.end(), std::filesystem::directory_iterator(path),
                   std::filesystem::directory_iterator());
    } else {
      files.push_back(path);
    }
  }
  std::sort(files.begin(), files.end());
  std::mt19937 random(1);
  std::size_t inputs = 0;
  for (const auto& file : files) {
    std::ifstream in(file, std::ios::binary);
    std::ostringstream read;
    read << in.rdbuf();
    const std::string text = read.str();
    if (!in) {
      std::cerr << "cannot read " << file << '\n';
      return 1;
    }
    const std::size_t step = std::max<std::size_t>(text.size() / 400, 1);
    for (std::size_t length = 0; length < text.size(); length += step, ++inputs) {
      run(text.substr(0, length));
    }
    run(text);
    for (int i = 0; i < copies; ++i, ++inputs) {
      run(changed(text, random));
    }
  }
  std::cout << inputs << " inputs from " << files.size() << " files\n";
  return files.empty() ? 1 : 0;
}
