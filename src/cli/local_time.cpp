#include "local_time.hpp"

#include <array>
#include <charconv>
#include <chrono>
#include <ctime>
#include <optional>

namespace kerfmark::cli {
namespace {

constexpr const char* kept_form = "%Y-%m-%dT%H:%M:%SZ";

std::string written(const std::tm& time, const char* form) {
  std::array<char, 64> text{};
  return {text.data(), std::strftime(text.data(), text.size(), form, &time)};
}

std::string utc_of(std::time_t moment) {
  std::tm time{};
  ::gmtime_r(&moment, &time);
  return written(time, kept_form);
}

int number_at(const std::string& text, std::size_t place, std::size_t size) {
  int number = 0;
  std::from_chars(text.data() + place, text.data() + place + size, number);
  return number;
}

std::optional<std::time_t> moment_of(const std::string& utc) {
  using namespace std::chrono;
  constexpr std::size_t size = 20;
  if (utc.size() != size || utc.back() != 'Z') {
    return std::nullopt;
  }
  const year_month_day day(year(number_at(utc, 0, 4)),
                           month(static_cast<unsigned>(number_at(utc, 5, 2))),
                           std::chrono::day(static_cast<unsigned>(number_at(utc, 8, 2))));
  if (!day.ok()) {
    return std::nullopt;
  }
  const sys_seconds moment = sys_days(day) + hours(number_at(utc, 11, 2)) +
                             minutes(number_at(utc, 14, 2)) + seconds(number_at(utc, 17, 2));
  return system_clock::to_time_t(moment);
}

}  // namespace

std::string local_time(const std::string& utc) {
  const auto moment = moment_of(utc);
  std::tm time{};
  if (!moment || ::localtime_r(&*moment, &time) == nullptr) {
    return utc;
  }
  const std::string offset = written(time, "%z");  // "+0100"
  return written(time, "%Y-%m-%d %H:%M ") + offset.substr(0, 3) + ":" + offset.substr(3);
}

std::string beginning_of_day(const std::string& day, int days_later) {
  std::tm time{};
  time.tm_year = number_at(day, 0, 4) - 1900;
  time.tm_mon = number_at(day, 5, 2) - 1;
  time.tm_mday = number_at(day, 8, 2) + days_later;
  time.tm_isdst = -1;  // the zone knows
  return utc_of(std::mktime(&time));
}

std::string now_utc() {
  return utc_of(std::chrono::system_clock::to_time_t(std::chrono::system_clock::now()));
}

}  // namespace kerfmark::cli
