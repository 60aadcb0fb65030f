#include "elevation.hpp"

#include "seatpost_elevation.hpp"
#include "steerer_elevation.hpp"

namespace kerfmark::sheet {

Block elevation(const Subject& subject, Room room) {
  return subject.now.seatpost ? seatpost_elevation(subject, room)
                              : steerer_elevation(subject, room);
}

}  // namespace kerfmark::sheet
