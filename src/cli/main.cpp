#include <exception>
#include <iostream>

#include "kerfmark/cli/run.hpp"
#include "kerfmark/trouble.hpp"

int main(int argc, char** argv) {
  using kerfmark::cli::ExitStatus;
  ExitStatus status = ExitStatus::trouble;
  try {
    status = kerfmark::cli::run(argc, argv);
  } catch (const kerfmark::Trouble& trouble) {
    std::cerr << "kerfmark: " << trouble.what() << "\n";
  } catch (const std::exception& fault) {
    std::cerr << "kerfmark: fault in the program, nothing is concluded: " << fault.what() << "\n";
  }
  return static_cast<int>(status);
}
