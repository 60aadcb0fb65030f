#include <array>

#include "kind_templates.hpp"

namespace kerfmark::job {
namespace {

constexpr auto sections = std::to_array<Section>({
    {"",
     R"(#
# Ask the maker of the frame first; what they say comes before anything reckoned here. The mast is
# the frame: cut too short, nothing can be exchanged. Too long, it can be cut again.
#
# Another saddle, another shoe or pedal, another rider: each asks for another mast. Ride it at its
# final height for some weeks before it is cut, on spacers or another bicycle if need be.
#
# Only with the maker's word: masts with a battery, wires or hoses inside, with all of that taken
# out first. Carbon: a fine saw in a guide made for the section, wet; never a pipe cutter. Dust of
# carbon is harmful: wet the cut, wear a mask.
)"},
    {picture,
     R"(#
#    What is measured from where (the mast drawn upright):
#
#     .-----------------.
#     '------saddle-----'
#              |
#            ==o==  . . . . .  rail clamp . . . . . . .-+-. . . -+-
#            .-'-.             centre                   |rise    |
#            |   |                                      |        |
#            |   |  spacers, where there are any        |        |
#            |:-:|  . . . . .  top of the mast. .-+-. .-+- -+-   |
#            |: :|                                |         |grip|
#            '---'  . . . . .  lower edge         |        -+-   |
#             | |              of the topper      |              |extension
#             | |                                 |length        |
#             |=|  . . . . .  cable exit, battery |. .-+-        |
#             | |             or insert           |    |keep     |
#          ===| |  . . . . .  datum . . . . . . .-+-. .-+-. . . -+-
#     top tube | |
)"},
    {"saddle",
     R"(# The saddle: how high the rider wants it, read off the mast itself if it is set so now. From the
# BB centre instead: kerfmark new mast --full has the keys for it.
)"},
    {"mast",
     R"(# The mast, as it is before the cut: the frame's own seat tube above the datum.
)"},
    {"topper",
     R"(# The topper: the head that sits on the mast and holds the rails, down on its stop. One that goes
# into the mast and one that goes over it are measured alike.
)"},
    {"frame",
     R"(# The frame.
)"},
    {"saw",
     R"(# The saw and the saw guide, made for the section of the mast.
)"},
    {"as_cut",
     R"(# After the cut: what was measured once the saw was put away. Take the # away in front of [as_cut]
# too and plan again: then you are told whether the bicycle may be ridden. All lines above stay as
# they are. A mast is cut twice: offcut and kerf are sums over all cuts.
)"},
});

}  // namespace

constinit const KindTemplate mast_template = {plan::Kind::mast, sections};

}  // namespace kerfmark::job
