#include "elevation.hpp"

#include "kind_sheets.hpp"

namespace kerfmark::sheet {

Block elevation(const Subject& subject, Room room) {
  return sheet_of(subject.job.kind).elevation(subject, room);
}

}  // namespace kerfmark::sheet
