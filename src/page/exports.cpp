// What the page calls by name in the compiled module. One request at a time.

#include <cstddef>
#include <string>

#include "bridge.hpp"

namespace {

std::string request;
std::string answer;

}  // namespace

extern "C" {

/// Room for a request of so many bytes.
__attribute__((export_name("kerfmark_room"))) char* kerfmark_room(std::size_t size) {
  request.assign(size, '\0');
  return request.data();
}

__attribute__((export_name("kerfmark_ask"))) void kerfmark_ask() {
  answer = kerfmark::page::ask(request);
}

__attribute__((export_name("kerfmark_answer"))) const char* kerfmark_answer() {
  return answer.data();
}

__attribute__((export_name("kerfmark_answer_size"))) std::size_t kerfmark_answer_size() {
  return answer.size();
}
}
