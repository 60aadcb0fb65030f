#include "kerfmark/measure/quantity.hpp"

#include <concepts>
#include <limits>
#include <type_traits>

#include <doctest/doctest.h>

#include "kerfmark/measure/estimate.hpp"

using namespace kerfmark::measure;

// ---- what must not compile ----

namespace {

template <class A, class B>
concept Adds = requires(A a, B b) {
  a + b;
};
template <class A, class B>
concept Multiplies = requires(A a, B b) {
  a* b;
};
template <class A, class B>
concept Divides = requires(A a, B b) {
  a / b;
};
template <class A, class B>
concept Orders = requires(A a, B b) {
  a < b;
};
template <class A, class B>
concept Equates = requires(A a, B b) {
  a == b;
};
template <class Q>
concept GivesMillimetres = requires(Q q) {
  q.in_mm();
};
template <class Q>
concept GivesDegrees = requires(Q q) {
  q.in_deg();
};
template <class Q>
concept GivesKilograms = requires(Q q) {
  q.in_kg();
};
template <class Q>
concept GivesValue = requires(Q q) {
  q.value();
};
template <class A>
concept HasSine = requires(A a) {
  kerfmark::measure::sin(a);
};

// A length is a constant only when it is finite.
template <int N>
constexpr double made_of = N == 0 ? std::numeric_limits<double>::infinity() : 1.0 * N;
template <int N>
concept IsConstant = requires {
  typename std::bool_constant<Length::from_base(made_of<N>) == Length{}>;
};

// Dimensions do not mix.
static_assert(Adds<Length, Length>);
static_assert(!Adds<Length, Angle>);
static_assert(!Adds<Length, Mass>);
static_assert(!Adds<Length, double>);
static_assert(!Adds<double, Length>);
static_assert(!Multiplies<Length, Length>);
static_assert(!Equates<Length, Angle>);
static_assert(!Orders<Length, double>);

// No way in or out without a unit.
static_assert(!std::convertible_to<double, Length>);
static_assert(!std::constructible_from<Length, double>);
static_assert(!std::convertible_to<Length, double>);
static_assert(!std::constructible_from<double, Length>);
static_assert(GivesMillimetres<Length> && !GivesMillimetres<Angle> && !GivesMillimetres<Mass>);
static_assert(GivesDegrees<Angle> && !GivesDegrees<Length>);
static_assert(GivesKilograms<Mass> && !GivesKilograms<Length>);
static_assert(GivesValue<Ratio> && !GivesValue<Length>);
static_assert(IsConstant<1>);
static_assert(!IsConstant<0>);

// An exact value is an estimate; the way back, comparisons and bare numbers do not exist.
static_assert(std::convertible_to<Length, LengthEstimate>);
static_assert(!std::convertible_to<LengthEstimate, Length>);
static_assert(!std::constructible_from<Length, LengthEstimate>);
static_assert(!std::convertible_to<LengthEstimate, double>);
static_assert(!std::convertible_to<double, LengthEstimate>);
static_assert(!Orders<LengthEstimate, LengthEstimate>);
static_assert(!Equates<LengthEstimate, LengthEstimate>);
static_assert(Adds<LengthEstimate, LengthEstimate>);
static_assert(!Adds<LengthEstimate, AngleEstimate>);
static_assert(!Multiplies<LengthEstimate, LengthEstimate>);
static_assert(Multiplies<LengthEstimate, RatioEstimate>);
static_assert(Divides<LengthEstimate, RatioEstimate>);
static_assert(!Divides<LengthEstimate, LengthEstimate>);
static_assert(HasSine<AngleEstimate> && !HasSine<LengthEstimate> && !HasSine<double>);

}  // namespace

TEST_CASE("units convert exactly") {
  // 1 in = 25.4 mm, 1 lb = 0.45359237 kg: 24 FR 5348 (1959), NIST SP 811 B.8.
  CHECK(inches(1).in_mm() == 25.4);
  CHECK(inches(1.125).in_mm() == doctest::Approx(28.575).epsilon(1e-15));
  CHECK(inches(1.5).in_mm() == doctest::Approx(38.1).epsilon(1e-15));
  // 16 CFR 1512.3: the less stringent of 125 mm and 5.0 in is 127.0 mm.
  CHECK(inches(5).in_mm() == 127.0);
  CHECK(pounds(1).in_kg() == 0.45359237);
  CHECK(pounds(100).in_kg() == doctest::Approx(45.359237).epsilon(1e-15));
  CHECK(centimetres(21.2).in_mm() == 212.0);
  CHECK(degrees(73.5).in_deg() == 73.5);
  CHECK(ratio(0.5).value() == 0.5);
}

TEST_CASE("quantities add subtract scale and compare") {
  CHECK(millimetres(30) + millimetres(12) == millimetres(42));
  CHECK(millimetres(30) - millimetres(12) == millimetres(18));
  CHECK(-millimetres(30) == millimetres(-30));
  CHECK(2.0 * degrees(30) == degrees(60));
  CHECK(millimetres(1) < millimetres(2));
  CHECK(millimetres(0) == millimetres(-0.0));
  CHECK(Length{} == millimetres(0));
}
