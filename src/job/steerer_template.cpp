#include <array>

#include "kind_templates.hpp"

namespace kerfmark::job {
namespace {

constexpr auto sections = std::to_array<Section>({
    {"",
     R"(#
# Ask the makers of fork, stem and headset first; what they say comes before anything reckoned
# here. The cut is at the top. Not planned here: quill stems, threaded steerers, and cuts at the
# crown end.
#
# Measure with the crown race and both bearings pressed home, and the stack snug by hand: a race
# that still has to go down spoils every figure.
#
# Two ways lead to the cut, and one of them is enough:
#   - by mock-up:  all of it on the uncut steerer, and mock_up.stands_proud read at the top;
#   - by parts:    steerer.length, frame.head_tube, headset, stem and spacers, each by itself.
# Better are both: then they must agree, or nothing is cut.
#
# Carbon: never a star nut (an expander holds the cap bolt), never a pipe cutter (a fine saw in a
# guide, wet). Dust of carbon is harmful: wet the cut, wear a mask.
)"},
    {picture,
     R"(#
#    What is measured from where (the steerer drawn upright, before the cut):
#
#               | |  . . . . . . top of the steerer . . . . . . . . . . . . . -+-
#               | |                               |mock_up.stands_proud        |
#             .-| |-.  . . . . . top of the stack-+- .-+-                      |
#             '-| |-'            spacers above         |spacers.above          |
#             .-| |-.  . . . . . top of the stem . . .-+-                      |
#             | | | |                                  |stem.clamp             |
#             | | | |=====( )    handlebar             |                       |
#             '-| |-'  . . . . . . . . . . . . . . . .-+-                      |
#             .-| |-.            spacers below         |spacers.below          |steerer.
#             '-| |-'  . . . . . . . . . . . . . . . .-+-                      |length
#             /-| |-\            cover and bearing     |headset.upper          |
#             +-| |-+  . . . . . upper edge of . . . .-+-                      |
#             | | | |            the head tube         |                       |
#             | | | |                                  |frame.head_tube        |
#             | | | |            lower edge of         |                       |
#             +-| |-+  . . . . . the head tube . . . .-+-                      |
#             \-| |-/            bearing               |headset.lower          |
#            .--' '--. . . . . . crown race seat . . .-+- . . . . . . . . . . -+-
#            '-------'           fork crown
#
#    The top as it is to be after the cut:
#
#            =========  . . . .  top cap, bolted down on
#            .-.   .-.  . . . .  top of the stack. . .-+-
#            | |   | |                                 |cap.gap: the cap presses the stack,
#            | |.-.| |  . . . .  top of the steerer. .-+-        never the steerer
#            | || || |
)"},
    {"frame",
     R"(# The frame. head_tube is needed for the cut by parts; angle, stack and reach only tell where the
# handlebar comes to stand.
)"},
    {"steerer",
     R"(# The steerer of the fork, as it is before the cut. With its length you are told how much to leave.
)"},
    {"headset",
     R"(# The headset, pressed home. For the cut by parts, and for the height of the handlebar.
)"},
    {"stem",
     R"(# The stem. Its clamp must stand on the steerer all the way up: a carbon steerer ends above the top
# of the stem, within a spacer, unless the stem's maker says otherwise.
)"},
    {"spacers",
     R"(# The spacers. A list in [ ] is one figure for each; one number is the sum of them all. Moving the
# stem down moves spacers from below to above it: the sum of all stays.
)"},
    {"cap",
     R"(# The gap that lets the top cap press the bearings together.
)"},
    {"expander",
     R"(# An expander backs a carbon steerer inside the clamp: the zone that it holds must lie behind the
# whole clamp in every position of the stem. Its rim lies on top of the steerer and eats the gap;
# with a star nut, or without a rim, flange is 0.
)"},
    {"bar",
     R"(# Only to be told which spacers bring the handlebar to the height you want.
)"},
    {"mock_up",
     R"(# By mock-up: the whole stack on the uncut steerer, without the cap. Where you go by the parts
# alone, take [mock_up] and stands_proud out.
)"},
    {"as_cut",
     R"(# After the cut: what was measured once the saw was put away. Take the # away in front of [as_cut]
# too and plan again: then you are told whether the bicycle may be ridden. All lines above stay as
# they are. One of length and gap is enough, both are better: then they must agree.
)"},
});

}  // namespace

constinit const KindTemplate steerer_template = {plan::Kind::steerer, sections};

}  // namespace kerfmark::job
