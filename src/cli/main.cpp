#include <csignal>
#include <cstdlib>
#include <exception>
#include <new>

#include <unistd.h>

#include "kerfmark/cli/files.hpp"
#include "kerfmark/cli/run.hpp"
#include "kerfmark/text/printable.hpp"
#include "kerfmark/trouble.hpp"

namespace {

using namespace kerfmark;

constexpr int trouble = static_cast<int>(cli::ExitStatus::trouble);

int without_memory() {
  (void)files::write_all(STDERR_FILENO,
                         "kerfmark: there is not enough memory, nothing is concluded\n");
  return trouble;
}

// Where there is no room even for an exception, the language comes here without one.
[[noreturn]] void end() {
  if (std::current_exception() == nullptr) {
    ::_exit(without_memory());
  }
  std::abort();
}

// Tables are made before main begins, and that may find no memory either. 101 is the first priority
// that is not the compiler's own.
[[gnu::constructor(101)]] void before_all() { std::set_terminate(end); }

}  // namespace

int main(int argc, char** argv) {
  std::signal(SIGXFSZ, SIG_IGN);  // a limit on the size of files is then told like a full disk
  try {
    return static_cast<int>(cli::run(argc, argv));
  } catch (const std::bad_alloc&) {
    return without_memory();
  } catch (const Trouble& fault) {
    cli::say("kerfmark: " + text::harmless(fault.what()) + "\n");
  } catch (const std::exception& fault) {
    cli::say("kerfmark: fault in the program, nothing is concluded: " +
             text::harmless(fault.what()) + "\n");
  }
  return trouble;
}
