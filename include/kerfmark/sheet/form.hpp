#pragma once

#include <map>
#include <span>
#include <string>
#include <string_view>
#include <vector>

#include "kerfmark/plan/keys.hpp"
#include "kerfmark/sheet/measuring_order.hpp"

/// What the form asks for. The form itself is print_blank() in kerfmark/sheet/sheet.hpp.
namespace kerfmark::sheet {

struct FormKey {
  const plan::Key* key = nullptr;
  Stage stage = Stage::more;
};

/// Every key of the table that belongs to this kind of job, but for the kind itself, in the order
/// of the form. A key that no stage names stands with its table, or else at the end.
[[nodiscard]] std::vector<FormKey> form_keys(plan::Kind kind);

/// The part of a sentence's key that names a stage.
[[nodiscard]] std::string_view word(Stage stage);

/// In the order of the form.
[[nodiscard]] std::span<const Stage> stages();
/// The kinds that there is a form for.
[[nodiscard]] std::vector<plan::Kind> form_kinds();

/// From the path of a key to its letter in the sketch.
using Letters = std::map<std::string, std::string, std::less<>>;
/// One for each key that has a place in the sketch of this kind.
[[nodiscard]] Letters letters_of(plan::Kind kind);

}  // namespace kerfmark::sheet
