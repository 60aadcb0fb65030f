#include "kerfmark/measure/invariant.hpp"

#include <cstdlib>
#include <iostream>

namespace kerfmark {

void broken_invariant(const char* what) {
  std::cerr << "kerfmark: fault in the program, nothing is concluded: " << what << "\n"
            << std::flush;
  std::abort();
}

}  // namespace kerfmark
