#include "elevation.hpp"

#include "handlebar_elevation.hpp"
#include "mast_elevation.hpp"
#include "seatpost_elevation.hpp"
#include "steerer_elevation.hpp"

namespace kerfmark::sheet {

Block elevation(const Subject& subject, Room room) {
  switch (subject.job.kind) {
    case plan::Kind::seatpost:
      return seatpost_elevation(subject, room);
    case plan::Kind::steerer:
      return steerer_elevation(subject, room);
    case plan::Kind::handlebar:
      return handlebar_elevation(subject, room);
    case plan::Kind::mast:
      return mast_elevation(subject, room);
  }
  return Block(room.width_mm);
}

}  // namespace kerfmark::sheet
