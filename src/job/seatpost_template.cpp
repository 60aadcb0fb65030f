#include <array>

#include "kind_templates.hpp"

namespace kerfmark::job {
namespace {

constexpr auto sections = std::to_array<Section>({
    {"",
     R"(#
# Ask the maker of post and frame first whether this post may be cut at all; what they say comes
# before anything reckoned here. The cut is at the lower end; it brings the printed mark lower
# by as much, so a new minimum-insertion line is needed afterwards.
)"},
    {picture,
     R"(#
#    What is measured from where (the post drawn upright):
#
#     .-----------------.
#     '------saddle-----'  . . saddle top . . . . . . . . . . . . . . . . . .-+-
#              |                                |rail_to_top                  |
#            ==o==  . . . . .  rail clamp . . .-+-                            |
#             | |               centre          |                             |
#             | |  extension                    |                             |
#             | |                               |                             |height
#            -| |-  . . . . .  collar edge . . .|. . . . . . . .-+-. . .-+-   |"along
#            || ||                              |post.length     |       |    |tube"
#            || ||  insertion                   |                |depth  |    |
#            ||-||  . . . . .  mark . . -+-     |                |       |seat|
#            || ||             post.mark |      |                |       |tube|
#            |'-'|  . . . . .  lower end-+- . .-+-               |       |    |
#            |   |                                               |       |    |
#            |>  |  . . . . .  blockage . . . . . . . . . . . . -+-      |    |
#             \ /                                                        |    |
#              O    . . . . .  BB centre . . . . . . . . . . . . . . . .-+-. -+-
)"},
    {"saddle",
     R"(# The saddle: how high the rider wants it, read off the post itself if it is set so now. From the
# BB centre instead: kerfmark new seatpost --full has the keys for it.
)"},
    {"frame",
     R"(# The frame.
)"},
    {frame_picture,
     R"(#
# What lies beside the axis of the post, seen with the front to the right:
#
#          o       centre of the clamped rails
#           '.\    post.setback: square over from the axis to o, plus to the rear
#              \
#               \  axis of the post
#                \
#      - - - - - -\- - - -   seat_angle: between axis and horizontal, about 73
#                  \
#               O.' \        axis_offset: square over from the BB centre O to the axis,
#                    \       plus when the axis runs in front of O
)"},
    {blockage_table,
     R"(# Anything in the seat tube that the post must not touch. Where the post stops short, this block is
# what the plan is about: without it nothing is known of the lip or boss. Copy it for each further
# blockage; where there is none all the way down, take it out. Probe the tube from the collar edge
# with a rod that has a small hook or disc at its end, all the way round.
)"},
    {"post",
     R"(# The post, as it is before the cut.
# A slanted lower end has two lengths: what meets a blockage is its longest point, while insertion
# counts from where the full section ends. Enter length and mark to the one that matters here: the
# longest point when a blockage stops the post, the full section when insertion is short.
)"},
    {"mock_up",
     R"(# A second way to the depth of a blockage, with the post itself. Take the # away in front of
# [mock_up] too.
)"},
    {"stock",
     R"(# Posts that could be fitted instead: better to swap the post than to saw it.
)"},
    {"saw",
     R"(# The saw and the mitre guide or saw guide.
)"},
    {"as_cut",
     R"(# After the cut: what was measured once the saw was put away. Take the # away in front of [as_cut]
# too and plan again: then you are told whether the post may be ridden. All lines above stay as they
# are; post.length remains the length before the cut.
)"},
});

}  // namespace

constinit const KindTemplate seatpost_template = {plan::Kind::seatpost, sections};

}  // namespace kerfmark::job
