#include <algorithm>
#include <array>
#include <cstddef>
#include <map>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

#include <doctest/doctest.h>

#include "drawn_ink.hpp"
#include "kerfmark/sheet/form.hpp"
#include "kerfmark/text/words.hpp"
#include "page.hpp"
#include "sheets.hpp"
#include "sketch.hpp"

using namespace kerfmark;
using drawn_ink::is_text;
using plan::Key;
using plan::Kind;
using sheet::Ink;

namespace {

constexpr auto kinds =
    std::to_array<Kind>({Kind::seatpost, Kind::steerer, Kind::handlebar, Kind::mast});
constexpr auto papers = std::to_array<sheet::Paper>({sheet::a4, sheet::letter});
constexpr auto languages = std::to_array<std::string_view>({"en", "de"});

const Ink* text_on(const std::vector<Ink>& ink, std::string_view text) {
  const auto found = std::ranges::find(ink, text, &Ink::what);
  return found == ink.end() ? nullptr : &*found;
}

std::size_t count_of(const std::vector<Ink>& ink, std::string_view text) {
  return static_cast<std::size_t>(std::ranges::count(ink, text, &Ink::what));
}

std::string all_text(const std::vector<Ink>& ink) {
  std::string all;
  for (const Ink& one : ink) {
    all += is_text(one) ? one.what + " " : "";
  }
  return all;
}

// Letters in circles.
std::vector<const Ink*> bubbles(const std::vector<Ink>& ink) {
  std::vector<const Ink*> found;
  for (const Ink& one : ink) {
    const bool in_circle = std::ranges::any_of(ink, [&](const Ink& other) {
      return other.what == "circle" && other.page == one.page &&
             drawn_ink::inside(one.box, other.box);
    });
    if (is_text(one) && in_circle) {
      found.push_back(&one);
    }
  }
  return found;
}

// Boxes to write in on the line of a text: as high as a hand needs, right of it.
std::size_t boxes_beside(const std::vector<Ink>& ink, const Ink& text) {
  return static_cast<std::size_t>(std::ranges::count_if(ink, [&](const Ink& one) {
    const double high = one.box.bottom_mm - one.box.top_mm;
    return one.what == "rectangle" && one.page == text.page && high > 5 && high < 9 &&
           one.box.left_mm > text.box.left_mm && one.box.top_mm < text.box.bottom_mm &&
           one.box.bottom_mm > text.box.top_mm;
  }));
}

bool stands_before(const Ink& a, const Ink& b) {
  constexpr double one_line_mm = 2;
  if (a.page != b.page) {
    return a.page < b.page;
  }
  const double down = b.box.top_mm - a.box.top_mm;
  return down > one_line_mm || (down > -one_line_mm && a.box.left_mm < b.box.left_mm);
}

}  // namespace

TEST_CASE("a blank form keeps its pages in both languages on both papers") {
  for (const Kind kind : kinds) {
    for (const sheet::Paper paper : papers) {
      for (const std::string_view language : languages) {
        CAPTURE(static_cast<int>(kind));
        CAPTURE(paper.width_mm);
        CAPTURE(language);
        const sheet::SheetOptions options = sheets::plain_options(language, paper);
        const sheet::PrintedSheet form = sheet::print_blank(kind, options);
        CHECK(drawn_ink::text_in_the_way(form.ink) == "");
        const double margin = 10;  // mm, which every printer reaches
        CHECK(drawn_ink::ink_outside(form.ink, {margin, margin, paper.width_mm - margin,
                                                paper.height_mm - margin}) == "");
        const int pages = form.ink.back().page;
        CHECK(pages >= 1);
        CHECK(pages <= 4);
        for (int page = 1; page <= pages; ++page) {
          CHECK(text_on(form.ink, options.words.say("sheet.page.page_of",
                                                    {{"page", std::to_string(page)},
                                                     {"pages", std::to_string(pages)}})) !=
                nullptr);
        }
        CHECK(form.pdf == sheet::print_blank(kind, options).pdf);
      }
    }
  }
}

TEST_CASE("a blank form asks for every key of its kind and for none of the other") {
  for (const Kind kind : kinds) {
    for (const std::string_view language : languages) {
      const sheet::PrintedSheet form = sheet::print_blank(kind, sheets::plain_options(language));
      const text::Words words = text::words_in(language);
      const std::string all = all_text(form.ink);
      std::size_t asked = 0;
      for (const Key& key : plan::keys()) {
        CAPTURE(key.path);
        CAPTURE(language);
        const std::string path(key.path);
        if (key.path == "kind") {
          CHECK(all.find("kerfmark new ") != std::string::npos);
          continue;
        }
        CHECK(count_of(form.ink, key.path) == (key.belongs_to(kind) ? 1U : 0U));
        if (key.belongs_to(kind)) {
          ++asked;
          // The first word of its name and of how it is measured; the rest may be on another line.
          const std::string label = words.at("key." + path + ".label");
          const std::string how = words.at("key." + path + ".how");
          CHECK(all.find(label.substr(0, label.find(' '))) != std::string::npos);
          CHECK(all.find(how.substr(0, how.find(' '))) != std::string::npos);
        }
      }
      CHECK(asked > 40);
      CHECK(sheet::form_keys(kind).size() == asked);
    }
  }
}

TEST_CASE("the boxes of a key are as many as it has readings and choices") {
  const sheet::PrintedSheet post = sheet::print_blank(Kind::seatpost, sheets::plain_options("en"));
  const auto beside = [&](std::string_view path) {
    const Ink* text = text_on(post.ink, path);
    REQUIRE(text != nullptr);
    return boxes_beside(post.ink, *text);
  };
  CHECK(beside("post.length") == 2);           // read twice
  CHECK(beside("post.diameter") == 1);         // stamped
  CHECK(beside("frame.blockage.depth") == 2);  // of two blockages, each parted in two
  CHECK(beside("post.grip") == 2);             // from and to
  CHECK(beside("stock.lengths") == 1);         // a list
  // Choices of the key table, by the words that a job file has.
  for (const char* word : {"carbon", "titanium", "dropper", "along tube", "not stated", "up"}) {
    CAPTURE(word);
    CHECK(text_on(post.ink, word) != nullptr);
  }
  CHECK(text_on(post.ink, "unknown") != nullptr);  // of the mark
  // 1, 0.5 and 2: the defaults of the contract for kerf, saw and clearance.
  const std::string all = all_text(post.ink);
  CHECK(count_of(post.ink, "0.5") == 1);
  CHECK(all.find("steel rule ±0.5\u00a0mm") != std::string::npos);
  const sheet::PrintedSheet german =
      sheet::print_blank(Kind::seatpost, sheets::plain_options("de"));
  CHECK(text_on(german.ink, "am Sitzrohr entlang (along tube)") != nullptr);
  CHECK(count_of(german.ink, "0,5") == 1);
}

TEST_CASE("what is needed carries a star") {
  const text::Words words = text::words_in("en");
  for (const Kind kind : kinds) {
    const std::string all = all_text(sheet::print_blank(kind, sheets::plain_options("en")).ink);
    for (const sheet::FormKey& form : sheet::form_keys(kind)) {
      CAPTURE(form.key->path);
      const std::string label = words.at("key." + std::string(form.key->path) + ".label") + " *";
      const bool starred = all.find(label + " ") != std::string::npos;
      CHECK(starred == (form.key->spec.needed == plan::Needed::always));
    }
  }
}

TEST_CASE("keys stand in the order in which a mechanic asks and measures") {
  for (const Kind kind : kinds) {
    const std::vector<Ink> ink = sheet::print_blank(kind, sheets::plain_options("en")).ink;
    const std::vector<sheet::FormKey> keys = sheet::form_keys(kind);
    for (std::size_t i = 1; i < keys.size(); ++i) {
      CAPTURE(keys[i].key->path);
      CHECK(keys[i - 1].stage <= keys[i].stage);
      const Ink* before = text_on(ink, keys[i - 1].key->path);
      const Ink* here = text_on(ink, keys[i].key->path);
      REQUIRE(before != nullptr);
      REQUIRE(here != nullptr);
      // Of two side by side one path may lie lower than the other's.
      CHECK((stands_before(*before, *here) || here->box.left_mm > before->box.left_mm + 60));
    }
  }
  const auto comes_first = [](Kind kind, std::string_view first, std::string_view second) {
    const std::vector<sheet::FormKey> keys = sheet::form_keys(kind);
    const auto place = [&](std::string_view path) {
      return std::ranges::find(keys, path, [](const sheet::FormKey& f) { return f.key->path; });
    };
    REQUIRE(place(first) != keys.end());
    REQUIRE(place(second) != keys.end());
    return place(first) < place(second);
  };
  // The maker's word before any measure, how to measure before the figure, the post in the bike
  // before it comes out, the saw last.
  CHECK(comes_first(Kind::seatpost, "post.cutting", "saddle.height"));
  CHECK(comes_first(Kind::seatpost, "saddle.measured", "saddle.height"));
  CHECK(comes_first(Kind::seatpost, "saddle.height", "frame.blockage.depth"));
  CHECK(comes_first(Kind::seatpost, "mock_up.exposed_bottomed", "frame.blockage.depth"));
  CHECK(comes_first(Kind::seatpost, "post.length", "saw.kerf"));
  CHECK(comes_first(Kind::steerer, "steerer.cutting", "steerer.length"));
  CHECK(comes_first(Kind::steerer, "frame.stack", "headset.upper"));
  CHECK(comes_first(Kind::steerer, "mock_up.stands_proud", "headset.upper"));
}

TEST_CASE("what needs the bicycle whole is asked for before anything comes out") {
  // By hand: heights, angles and setback are read with the post in, and so is what stands out of
  // the frame when it rests on the blockage; what a steerer stands proud by, with the stack on it.
  for (const char* path :
       {"saddle.height", "saddle.lowest", "saddle.highest", "saddle.crank", "saddle.rail_to_top",
        "frame.seat_tube", "frame.seat_angle", "frame.axis_offset", "post.setback",
        "mock_up.exposed_bottomed", "mock_up.stands_proud", "frame.stack", "frame.reach",
        "frame.head_angle", "bar.height"}) {
    CAPTURE(path);
    bool seen = false;
    for (const Kind kind : kinds) {
      bool out = false;
      for (const sheet::FormKey& form : sheet::form_keys(kind)) {
        out = out || form.stage == sheet::Stage::tube || form.stage == sheet::Stage::bench;
        if (form.key->path == path) {
          seen = true;
          CHECK_FALSE(out);
          CHECK(sheet::needs_bike_whole(form.stage));
        }
      }
    }
    CHECK(seen);
  }
}

TEST_CASE("each letter stands once in the picture and once at its key") {
  for (const Kind kind : kinds) {
    for (const std::string_view language : languages) {
      CAPTURE(static_cast<int>(kind));
      CAPTURE(language);
      const std::vector<Ink> ink = sheet::print_blank(kind, sheets::plain_options(language)).ink;
      const Ink* first_key = text_on(ink, "job.number");
      REQUIRE(first_key != nullptr);
      std::map<std::string, std::pair<int, int>> seen;  // in the picture, in the list
      std::string last;
      for (const Ink* bubble : bubbles(ink)) {
        const bool in_list = stands_before(*first_key, *bubble);
        (in_list ? seen[bubble->what].second : seen[bubble->what].first) += 1;
        if (in_list) {
          CHECK(last < bubble->what);  // the list is in the order of the letters
          last = bubble->what;
        }
      }
      CHECK(seen.size() >= (kind == Kind::handlebar ? 11 : 18));
      for (const auto& sign : seen) {
        CAPTURE(sign.first);
        CHECK(sign.second == std::pair(1, 1));
      }
    }
  }
  // Each place of the picture is a key of its kind, or is left out.
  for (const Kind kind : kinds) {
    const sheet::Letters none;
    const std::vector<std::string> places = sheet::sketch_of(kind, none).places();
    for (const sheet::FormKey& form : sheet::form_keys(kind)) {
      const bool measured = !form.key->spec.instrument.empty();
      const bool sum_of_rings = form.key->path.starts_with("spacers.");
      if (measured && !sum_of_rings) {
        CAPTURE(form.key->path);
        CHECK(std::ranges::find(places, form.key->path) != places.end());
      }
    }
  }
}

TEST_CASE("a key that no stage names stands with its table or at the end") {
  for (const Kind kind : kinds) {
    for (const sheet::FormKey& form : sheet::form_keys(kind)) {
      CAPTURE(form.key->path);
      CHECK(form.stage != sheet::Stage::more);  // none is homeless today
    }
  }
  const auto stage_of = [](Kind kind, std::string_view path) {
    for (const sheet::FormKey& form : sheet::form_keys(kind)) {
      if (form.key->path == path) {
        return form.stage;
      }
    }
    return sheet::Stage::more;
  };
  CHECK(stage_of(Kind::seatpost, "post.scale.rising") == sheet::Stage::bench);  // with its table
  CHECK(stage_of(Kind::seatpost, "post.max_cut") == sheet::Stage::maker);       // by its own name
  CHECK(stage_of(Kind::steerer, "measuring.instruments") == sheet::Stage::shop);
}
