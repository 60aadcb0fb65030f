#include "kerfmark/measure/quantity_text.hpp"

#include <array>
#include <cmath>
#include <limits>
#include <random>
#include <string>
#include <string_view>
#include <variant>
#include <vector>

#include <doctest/doctest.h>

#include "kerfmark/job/misread.hpp"

using namespace kerfmark::measure;
namespace job = kerfmark::job;
namespace text = kerfmark::text;

namespace {

template <Dimension D>
double base_of(std::string_view text) {
  const auto read = read_quantity<D>(text);
  REQUIRE(std::holds_alternative<Quantity<D>>(read));
  return std::get<Quantity<D>>(read).in_base();
}

template <Dimension D>
Misread misread(std::string_view text) {
  const auto read = read_quantity<D>(text);
  REQUIRE(std::holds_alternative<Misread>(read));
  return std::get<Misread>(read);
}

struct Row {
  std::string_view text;
  double base;
};

// Conversions by hand: 1 in = 25.4 mm, 1 lb = 0.45359237 kg (24 FR 5348). The tolerance is a few
// units in the last place: fractions are summed in binary.
void check_near(double is, double wanted) {
  CHECK(std::abs(is - wanted) <= 1e-15 * 4 * std::abs(wanted));
}

}  // namespace

TEST_CASE("lengths in every unit and spelling") {
  constexpr auto rows = std::to_array<Row>({
      {"212 mm", 212.0},       {"212mm", 212.0},     {"  212\tmm ", 212.0}, {"212.5 mm", 212.5},
      {".5 mm", 0.5},          {"5. mm", 5.0},       {"+5 mm", 5.0},        {"-5 mm", -5.0},
      {"−5 mm", -5.0},         {"212 MM", 212.0},    {"21.2 cm", 212.0},    {"0.4 m", 400.0},
      {"0.5 in", 12.7},        {"8 in", 203.2},      {"8 inch", 203.2},     {"8 Inches", 203.2},
      {"8\"", 203.2},          {"8″", 203.2},        {"8 3/8 in", 212.725}, {"8-3/8 in", 212.725},
      {"8  3/8in", 212.725},   {"8 3/8\"", 212.725}, {"8⅜ in", 212.725},    {"8 ⅜″", 212.725},
      {"-8 3/8 in", -212.725}, {"3/8 in", 9.525},    {"1 1/8 in", 28.575},  {"1½ in", 38.1},
      {"½ in", 12.7},          {"¼ in", 6.35},       {"¾ in", 19.05},       {"⅛ in", 3.175},
      {"⅝ in", 15.875},        {"⅞ in", 22.225},     {"1/32 in", 0.79375},  {"0 mm", 0.0},
  });
  for (const Row& row : rows) {
    CAPTURE(row.text);
    check_near(base_of<Dimension::length>(row.text), row.base);
    CHECK(dimension_of(row.text) == Dimension::length);
  }
}

TEST_CASE("angles and masses in every unit") {
  for (const std::string_view text :
       {"73.5 deg", "73.5deg", "73.5 degrees", "73.5 degree", "73.5°", "73.5 °", "73 1/2 DEG"}) {
    CAPTURE(text);
    CHECK(base_of<Dimension::angle>(text) == 73.5);
    CHECK(dimension_of(text) == Dimension::angle);
  }
  constexpr auto rows = std::to_array<Row>({
      {"80 kg", 80.0},
      {"80000 g", 80.0},
      {"176 lb", 79.83225712},
      {"176 lbs", 79.83225712},
  });
  for (const Row& row : rows) {
    CAPTURE(row.text);
    check_near(base_of<Dimension::mass>(row.text), row.base);
    CHECK(dimension_of(row.text) == Dimension::mass);
  }
}

TEST_CASE("what is no quantity says what is wrong and what to write") {
  struct Wrong {
    std::string_view text, wrong, write;
  };
  constexpr std::string_view example = R"(write for example "212 mm", "21.2 cm" or "8 3/8 in")";
  constexpr auto rows = std::to_array<Wrong>({
      {"212,5 mm", "has a decimal comma", R"(write "212.5 mm")"},
      {"212,5", "has a decimal comma", R"(write "212.5 mm")"},
      {"212", "has no unit", R"(write "212 mm")"},
      {"8 3/8", "has no unit", R"(write "8 3/8 in")"},
      {"8⅜", "has no unit", R"(write "8⅜ in")"},
      {"", "is empty", example},
      {"   ", "is empty", example},
      {"mm", "does not start with a number", example},
      {"abc", "does not start with a number", example},
      {"inf mm", "does not start with a number", example},
      {"nan mm", "does not start with a number", example},
      {"212 km", "has no unit that is known here", example},
      {"212 mm 5", "has no unit that is known here", example},
      {"1e3 mm", "has no unit that is known here", example},
      {"0x10 mm", "has no unit that is known here", example},
      {"3/0 in", "has no unit that is known here", example},
      {"1,2,3 mm", "has no unit that is known here", example},
      {"80 kg", "is a mass, and a length belongs here", example},
      {"73 deg", "is an angle, and a length belongs here", example},
      {"２１２ mm", "has signs that only look like plain digits, points or dashes",
       R"(write "212 mm")"},
      {"8–3⁄8 in", "has signs that only look like plain digits, points or dashes",
       R"(write "8-3/8 in")"},
  });
  for (const Wrong& row : rows) {
    CAPTURE(row.text);
    const Misread said = misread<Dimension::length>(row.text);
    CHECK(job::what_is_wrong(said).in(text::Words()) == row.wrong);
    CHECK(job::to_write(said).in(text::Words()) == row.write);
  }
  CHECK(misread<Dimension::angle>("73,5") ==
        Misread{.flaw = Flaw::decimal_comma, .wanted = Dimension::angle, .choices = {"73.5 deg"}});
  CHECK(job::what_is_wrong(misread<Dimension::mass>("212 mm")).in(text::Words()) ==
        "is a length, and a mass belongs here");
  CHECK(misread<Dimension::length>(std::string(400, '9') + " mm").flaw == Flaw::no_number);
  CHECK_FALSE(dimension_of("212").has_value());
  CHECK_FALSE(dimension_of("mm").has_value());
}

TEST_CASE("a fraction that no rule shows is refused with all that it may mean") {
  constexpr std::string_view lost = "has a fraction that is not less than 1: a space may be lost";
  struct Fraction {
    std::string_view text, wrong;
    std::vector<std::string> choices;  // the value in decimals, and the splits: by hand
  };
  const Fraction rows[] = {
      {"31/2 in", lost, {"15.5 in", "3 1/2 in"}},
      {"87/8 in", lost, {"10.875 in", "8 7/8 in"}},
      {"87/8\"", lost, {"10.875 in", "8 7/8 in"}},
      {"87/8 INCHES", lost, {"10.875 inches", "8 7/8 inches"}},
      {"87/8", lost, {"10.875 in", "8 7/8 in"}},
      {"-31/2 in", lost, {"-15.5 in", "-3 1/2 in"}},
      {"315/16 in", lost, {"19.6875 in", "31 5/16 in", "3 15/16 in"}},
      {"1231/32 in", lost, {"38.46875 in", "123 1/32 in", "12 31/32 in"}},
      {"3 15/8 in", lost, {"4.875 in", "31 5/8 in"}},
      {"3 9/8 in", lost, {"4.125 in"}},
      {"8/8 in", lost, {"1 in"}},
      {"9/8 in", lost, {"1.125 in"}},
      {"101/2 in", lost, {"50.5 in", "10 1/2 in"}},
      {"110/16 in", lost, {"6.875 in", "1 10/16 in"}},
      {"3 5/3 in",
       "has 3 below in its fraction, where 2, 4, 8, 16, 32 or 64 can stand",
       {"4.666667 in"}},
      {"1/3 in",
       "has 3 below in its fraction, where 2, 4, 8, 16, 32 or 64 can stand",
       {"0.333333 in"}},
      {"1/128 in",
       "has 128 below in its fraction, where 2, 4, 8, 16, 32 or 64 can stand",
       {"0.007812 in"}},
      {"1/1 in", "has 1 below in its fraction, where 2, 4, 8, 16, 32 or 64 can stand", {"1 in"}},
      {"3.5 1/2 in", "has a decimal point beside a fraction", {"4 in"}},
      {"1.5/2 in", "has a decimal point beside a fraction", {"0.75 in"}},
      {"1/2.5 in", "has a decimal point beside a fraction", {"0.4 in"}},
      {"3.5½ in", "has a decimal point beside a fraction", {"4 in"}},
      {"31/2,0 in", "has a decimal comma", {"15.5 in"}},
      {"31/2 mm", lost, {"15.5 mm", "3 1/2 mm"}},
  };
  for (const Fraction& row : rows) {
    CAPTURE(row.text);
    const Misread said = misread<Dimension::length>(row.text);
    CHECK(job::what_is_wrong(said).in(text::Words()) == row.wrong);
    CHECK(said.choices == row.choices);
    CHECK_FALSE(said.measured_so);
    for (const std::string& choice : row.choices) {
      CAPTURE(choice);
      CHECK(std::holds_alternative<Length>(read_quantity<Dimension::length>(choice)));
    }
  }
  CHECK(misread<Dimension::angle>("147/2 deg").choices == std::vector<std::string>{"73.5 deg"});
  CHECK(job::to_write(misread<Dimension::length>("31/2 in")).in(text::Words()) ==
        R"(write "15.5 in" or "3 1/2 in", whichever was measured)");
  CHECK(job::to_write(misread<Dimension::length>("3 5/3 in")).in(text::Words()) ==
        R"(write "4.666667 in", if that was measured)");
  // Every proper fraction of a rule is read, alone and mixed, and no other.
  for (int below = 1; below <= 70; ++below) {
    const bool of_a_rule =
        below == 2 || below == 4 || below == 8 || below == 16 || below == 32 || below == 64;
    for (int above = 1; above <= 70; ++above) {
      const std::string fraction = std::to_string(above) + "/" + std::to_string(below) + " in";
      CAPTURE(fraction);
      const bool read = std::holds_alternative<Length>(read_quantity<Dimension::length>(fraction));
      CHECK(read == (of_a_rule && above < below));
      CHECK(read ==
            std::holds_alternative<Length>(read_quantity<Dimension::length>("3 " + fraction)));
    }
  }
}

TEST_CASE("a fraction that cannot be is offered in its own unit") {
  // Worked by hand: 31/2 with the sign of inches and with that of the prime; 31/2 of no unit for an
  // angle.
  CHECK(misread<Dimension::length>("31/2″").choices ==
        std::vector<std::string>{"15.5 in", "3 1/2 in"});
  CHECK(misread<Dimension::length>("31/2\"").choices ==
        std::vector<std::string>{"15.5 in", "3 1/2 in"});
  CHECK(misread<Dimension::angle>("147/2").choices == std::vector<std::string>{"73.5 deg"});
  CHECK(misread<Dimension::mass>("181/2").choices ==
        std::vector<std::string>{"90.5 kg", "18 1/2 kg"});
  // Ten digits are no measurement; nine may be.
  CHECK(misread<Dimension::length>("123456789/2 in").choices ==
        std::vector<std::string>{"61728394.5 in"});
  CHECK(misread<Dimension::length>("1234567891/2 in").choices.empty());
  CHECK(misread<Dimension::length>("1/2.5 in").choices == std::vector<std::string>{"0.4 in"});
}

TEST_CASE("figures past what can be counted are refused") {
  CHECK(misread<Dimension::length>(std::string(400, '9') + " mm").flaw == Flaw::no_number);
  // 1.8e308 is the largest double (IEC 60559): as inches it is no figure in millimetres any more.
  CHECK(misread<Dimension::length>("17" + std::string(307, '0') + " in").flaw == Flaw::too_large);
}

TEST_CASE("which quantity a text is one of") {
  CHECK(dimension_of("8 3/8 in") == Dimension::length);
  CHECK(dimension_of("73.5 deg") == Dimension::angle);
  CHECK(dimension_of("12 lb") == Dimension::mass);
  CHECK_FALSE(dimension_of("12 furlongs").has_value());
  CHECK_FALSE(dimension_of("12").has_value());
  CHECK_FALSE(dimension_of("").has_value());
  CHECK(is_in_inches("8 3/8 in"));
  CHECK(is_in_inches("8″"));
  CHECK_FALSE(is_in_inches("8 mm"));
  CHECK_FALSE(is_in_inches("8 deg"));
  CHECK_FALSE(is_in_inches("8"));
  for (const std::string_view word : unit_words(Dimension::length)) {
    CAPTURE(word);
    CHECK(dimension_of("8 " + std::string(word)) == Dimension::length);
  }
  CHECK(unit_words(Dimension::length).size() > 3);
}

TEST_CASE("another sort of blank reads as a blank") {
  check_near(base_of<Dimension::length>("8\u00a03/8\u202fin"), 212.725);
  check_near(base_of<Dimension::length>("\u00a0212\u2009mm\u00a0"), 212.0);
  CHECK(dimension_of("2\u00a0deg") == Dimension::angle);
}

TEST_CASE("what is written reads back as the same value") {
  CHECK(written(millimetres(212.5)) == "212.5 mm");
  CHECK(written(degrees(73.5)) == "73.5 deg");
  CHECK(written(kilograms(80)) == "80 kg");
  std::mt19937_64 random(20260501);
  std::uniform_real_distribution<double> exponent(-12.0, 12.0);
  for (int i = 0; i < 2000; ++i) {
    const double base = (i % 2 == 0 ? 1.0 : -1.0) * std::pow(10.0, exponent(random));
    CAPTURE(base);
    REQUIRE(base_of<Dimension::length>(written(millimetres(base))) == base);
    REQUIRE(base_of<Dimension::angle>(written(degrees(base))) == base);
    REQUIRE(base_of<Dimension::mass>(written(kilograms(base))) == base);
  }
  // An exponent, "1e-05 mm", would not be read back.
  for (const double base : {0.0, 1e-5, 1e21, std::numeric_limits<double>::max(),
                            std::numeric_limits<double>::denorm_min()}) {
    CAPTURE(base);
    CHECK(base_of<Dimension::length>(written(millimetres(base))) == base);
  }
}
