#include <array>
#include <cstdlib>
#include <filesystem>
#include <string>
#include <string_view>
#include <vector>

#include <fcntl.h>
#include <sys/mman.h>
#include <unistd.h>

#include "../register/sample.hpp"
#include "fuzz.hpp"
#include "kerfmark/cli/run.hpp"
#include "kerfmark/measure/invariant.hpp"
#include "kerfmark/trouble.hpp"

/// Command lines and environments, whatever their bytes: one of three exit statuses, a word about
/// every 2, and nothing on standard error that a terminal would obey. The input is lines: those
/// that begin with the name of a variable and "=" set it, the others are words of the command.
using namespace kerfmark;

namespace {

constexpr auto variables = std::to_array<const char*>(
    {"COLUMNS", "NO_COLOR", "CLICOLOR_FORCE", "TERM", "LANG", "LC_ALL", "KERFMARK_SHOP",
     "KERFMARK_REGISTER", "XDG_DATA_HOME", "XDG_CONFIG_HOME", "HOME", "TZ"});

// Where a descriptor leads to until the end of the scope.
class Instead {
 public:
  Instead(int descriptor, int file) : descriptor_(descriptor), own_(::dup(descriptor)) {
    ::dup2(file, descriptor);
  }
  Instead(const Instead&) = delete;
  Instead& operator=(const Instead&) = delete;
  ~Instead() {
    ::dup2(own_, descriptor_);
    ::close(own_);
  }

 private:
  int descriptor_;
  int own_;
};

// A folder in memory to work in, with one job in it; what the program says goes into files
// without a name.
struct Bench {
  sample::Folder folder;
  int printed = ::memfd_create("printed", 0);
  int said = ::memfd_create("said", 0);

  void write_job() const {
    sample::Folder::write(folder.file("job.toml"),
                          "kind = \"seatpost\"\n[post]\nlength = 400\nmark = 100\n"
                          "[saddle]\nheight = 200\nmeasured = \"extension\"\n");
  }
};

Bench& bench() {
  static Bench one;
  return one;
}

// No word leads out of the folder, and none to a server.
std::string inside(std::string word) {
  std::erase(word, '/');
  for (std::size_t at = word.find(".."); at != std::string::npos; at = word.find("..")) {
    word.erase(at, 1);
  }
  return word;
}

bool set_variable(const std::string& line) {
  for (const char* name : variables) {
    if (line.starts_with(std::string(name) + "=")) {
      ::setenv(name, line.substr(std::string_view(name).size() + 1).c_str(), 1);
      return true;
    }
  }
  return false;
}

std::vector<std::string> words_of(std::string_view input) {
  std::vector<std::string> words = {"kerfmark"};
  while (!input.empty()) {
    const std::size_t end = std::min(input.find('\n'), input.size());
    const std::string line = inside(std::string(input.substr(0, end)).c_str());
    if (!set_variable(line)) {
      words.push_back(line);
    }
    input.remove_prefix(std::min(end + 1, input.size()));
  }
  return words;
}

int status_of(const std::vector<std::string>& words) {
  std::vector<const char*> pointers;
  for (const std::string& word : words) {
    pointers.push_back(word.c_str());
  }
  try {
    return static_cast<int>(cli::run(static_cast<int>(pointers.size()), pointers.data()));
  } catch (const Trouble&) {
    return -1;  // told by main
  }
}

void empty(int file) {
  require(::ftruncate(file, 0) == 0 && ::lseek(file, 0, SEEK_SET) == 0, "no file to write to");
}

// As `status_of`, with what is said meanwhile; what is asked is answered by nothing.
int run(const std::vector<std::string>& words, std::string& said) {
  empty(bench().printed);
  empty(bench().said);
  int status = 0;
  {
    const int nothing = ::open("/dev/null", O_RDONLY);  // NOLINT(cppcoreguidelines-pro-type-vararg)
    const Instead input(STDIN_FILENO, nothing);
    const Instead output(STDOUT_FILENO, bench().printed);
    const Instead error(STDERR_FILENO, bench().said);
    ::close(nothing);
    status = status_of(words);
  }
  said.resize(static_cast<std::size_t>(::lseek(bench().said, 0, SEEK_END)));
  require(::pread(bench().said, said.data(), said.size(), 0) == static_cast<ssize_t>(said.size()),
          "what was said cannot be read");
  return status;
}

}  // namespace

int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
  for (const char* name : variables) {
    ::unsetenv(name);
  }
  const std::filesystem::path began = std::filesystem::current_path();
  std::filesystem::current_path(std::filesystem::path(bench().folder.file()).parent_path());
  bench().write_job();
  // NOLINTNEXTLINE(cppcoreguidelines-pro-type-reinterpret-cast): bytes as text
  const auto words = words_of({reinterpret_cast<const char*>(data), size});
  std::string said;
  const int status = run(words, said);
  require(status >= -1 && status <= 2, "an exit status that means nothing");
  require(status != 2 || !said.empty() || ::lseek(bench().printed, 0, SEEK_END) > 0,
          "trouble without a word");
  for (const char c : said) {
    const auto byte = static_cast<unsigned char>(c);
    require((byte >= 0x20 && byte != 0x7F) || c == '\n', "standard error obeys a stranger");
  }
  for (const auto& left : std::filesystem::directory_iterator(".")) {
    std::filesystem::remove_all(left);
  }
  std::filesystem::current_path(began);
  return 0;
}
