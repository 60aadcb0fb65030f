#include "kerfmark/files/draft.hpp"

#include <array>
#include <filesystem>
#include <fstream>
#include <string>

#include <doctest/doctest.h>
#include <unistd.h>

#include "kerfmark/trouble.hpp"
#include "left_behind.hpp"

using namespace kerfmark;
using namespace kerfmark::files;
namespace fs = std::filesystem;

namespace {

class Folder {
 public:
  Folder() {
    std::string name = (fs::temp_directory_path() / "draft-test-XXXXXX").string();
    REQUIRE(::mkdtemp(name.data()) != nullptr);
    path_ = name;
  }
  Folder(const Folder&) = delete;
  Folder& operator=(const Folder&) = delete;
  ~Folder() {
    std::error_code ignored;
    fs::remove_all(path_, ignored);
  }
  [[nodiscard]] std::string operator/(const std::string& name) const {
    return (path_ / name).string();
  }
  [[nodiscard]] std::size_t count() const {
    std::size_t files = 0;
    for (const auto& file : fs::directory_iterator(path_)) {
      files += file.path().empty() ? 0U : 1U;
    }
    return files;
  }

 private:
  fs::path path_;
};

std::string content_of(const std::string& path) {
  std::ifstream file(path, std::ios::binary);
  return {std::istreambuf_iterator<char>(file), {}};
}

constexpr auto both = std::to_array({Draft::Name::none, Draft::Name::own});

}  // namespace

TEST_CASE("a draft is not there before it is whole and gone when it never was") {
  for (const Draft::Name name : both) {
    const Folder folder;
    {
      Draft draft(folder / "cut.pdf", name);
      draft.append("half of it");
      CHECK_FALSE(fs::exists(folder / "cut.pdf"));
    }
    CHECK(folder.count() == 0);
    Draft draft(folder / "cut.pdf", name);
    draft.append("all of it");
    draft.put(0, "A");
    draft.replace_target();
    CHECK(content_of(folder / "cut.pdf") == "All of it");
    CHECK(folder.count() == 1);
  }
}

TEST_CASE("a draft takes a free name only where it is to") {
  for (const Draft::Name name : both) {
    const Folder folder;
    Draft first(folder / "job.toml", name);
    Draft second(folder / "job.toml", name);
    first.append("first");
    second.append("second");
    CHECK(first.become_target());
    CHECK_FALSE(second.become_target());
    CHECK(content_of(folder / "job.toml") == "first");
    second.replace_target();
    CHECK(content_of(folder / "job.toml") == "second");
    CHECK(folder.count() == 1);
  }
}

TEST_CASE("a place is found through folders and links as the system finds it") {
  const Folder folder;
  fs::create_directories(folder / "a/b");
  fs::create_directory_symlink("a/b", folder / "short");
  fs::create_symlink("../a/new.pdf", folder / "a/../a/link.pdf");
  fs::create_directory_symlink(folder / "a", folder / "whole");
  fs::create_symlink("round", folder / "round");
  struct Row {
    const char* path;
    const char* leads_to;
  };
  const auto rows = std::to_array<Row>({{"x", "x"},
                                        {"a/x", "a/x"},
                                        {"a//./b/../x", "a/x"},
                                        {"short/x", "a/b/x"},
                                        {"short/../x", "a/x"},
                                        {"a/link.pdf", "a/new.pdf"},
                                        {"whole/b/x", "a/b/x"}});
  for (const Row& row : rows) {
    CAPTURE(row.path);
    Draft draft(folder / row.path);
    draft.append("x");
    draft.replace_target();
    CHECK(content_of(folder / row.leads_to) == "x");
    fs::remove(folder / row.leads_to);
  }
  for (const char* const path : {"", "a/", "a/..", ".", "none/x", "round", "a/none/../x"}) {
    CAPTURE(path);
    CHECK_THROWS_AS(Place(*path == '\0' ? std::string() : folder / path), Trouble);
  }
}

TEST_CASE("names of drafts fit and are known again") {
  const std::string longest(255, 'x');
  CHECK(draft_name(longest).size() == 255);
  CHECK(draft_name("cut.pdf").size() == std::string("cut.pdf.0123456789ab.new").size());
  CHECK(draft_name("cut.pdf") != draft_name("cut.pdf"));
  const Folder folder;
  Draft draft(folder / longest, Draft::Name::own);
  draft.append("x");
  CHECK(draft.become_target());
  CHECK(folder.count() == 1);
}
