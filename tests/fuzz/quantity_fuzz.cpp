#include <string>
#include <variant>

#include "fuzz.hpp"
#include "kerfmark/measure/invariant.hpp"
#include "kerfmark/measure/quantity_text.hpp"

using namespace kerfmark;

namespace {

template <measure::Dimension D>
void check(const std::string& text) {
  const auto read = measure::read_quantity<D>(text);
  if (const auto* misread = std::get_if<measure::Misread>(&read)) {
    for (const std::string& choice : misread->choices) {
      require(std::holds_alternative<measure::Quantity<D>>(measure::read_quantity<D>(choice)),
              "what is offered is refused itself");
    }
    return;
  }
  const auto quantity = std::get<measure::Quantity<D>>(read);
  require(measure::dimension_of(text) == D, "the unit is not the one that was read");
  const auto again = measure::read_quantity<D>(measure::written(quantity));
  const auto* same = std::get_if<measure::Quantity<D>>(&again);
  require(same != nullptr && *same == quantity, "what was written reads back as something else");
}

}  // namespace

int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
  const std::string text(data, data + size);
  check<measure::Dimension::length>(text);
  check<measure::Dimension::angle>(text);
  check<measure::Dimension::mass>(text);
  return 0;
}
