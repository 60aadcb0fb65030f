#include <array>

#include "kind_templates.hpp"

namespace kerfmark::job {
namespace {

constexpr auto sections = std::to_array<Section>({
    {"",
     R"(#
# Ask the maker of the handlebar first; what they say comes before anything reckoned here. The bar
# is cut alike at both ends. For straight bars and bars with sweep; not planned here: drop bars.
#
# A bar that is cut too narrow is scrap. Before it is cut, ride it with the controls moved in: that
# shows whether the width is right, and costs nothing.
#
# Carbon: a fine saw in a guide, wet; never a pipe cutter. Dust of carbon is harmful: wet the cut,
# wear a mask.
)"},
    {picture,
     R"(#
#    What is measured from where (the bar seen from the saddle, before the cut):
#
#      |<----------------------- width ------------------------>|
#      |<---------- left ----------->|<--------- right -------->|
#                                  .---.
#      =============:==============|stem|==============:=========
#      |<-straight->:               '---'              :
#      |            :                        |shifter|lever|grip|
#      |<->|  to_mark: the maker's last cut mark
#
#    straight, grip_zone and to_mark count from the end inward, on the side where they are shorter.
)"},
    {"handlebar",
     R"(# The handlebar, as it is before the cut. Left and right show whether it is centred: measured, they
# also give the width more closely than a tape.
)"},
    {control_table,
     R"(# What sits on the straight part on one side, the fuller one: grip, brake lever, shifter, lock ring.
# Copy the block for each: all of them must still find room after the cut.
)"},
    {"frame",
     R"(# The frame, where its maker states a limit.
)"},
    {"as_cut",
     R"(# After the cut: what was measured once the saw was put away. Take the # away in front of [as_cut]
# too and plan again: then you are told whether the bicycle may be ridden. All lines above stay as
# they are.
)"},
});

}  // namespace

constinit const KindTemplate handlebar_template = {plan::Kind::handlebar, sections};

}  // namespace kerfmark::job
