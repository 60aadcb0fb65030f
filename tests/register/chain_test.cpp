#include "kerfmark/register/chain.hpp"

#include <array>
#include <limits>
#include <set>
#include <string>
#include <string_view>
#include <vector>

#include <doctest/doctest.h>

#include "kerfmark/text/sha256.hpp"

using namespace kerfmark;
using namespace kerfmark::records;

TEST_CASE("SHA-256 gives the digests of the examples of the standard") {
  struct Row {
    std::string what, bytes;
    std::string_view digest;
  };
  // FIPS 180-4, examples of SHA-256 as published by NIST (CSRC, Cryptographic Standards and
  // Guidelines: one block, two blocks), with the long messages of FIPS 180-2 B.2 and B.3 and the
  // empty message of the NIST test vectors (SHA256ShortMsg.rsp, Len = 0).
  const auto rows = std::to_array<Row>({
      {"one block", "abc", "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad"},
      {"two blocks", "abcdbcdecdefdefgefghfghighijhijkijkljklmklmnlmnomnopnopq",
       "248d6a61d20638b8e5c026930c3e6039a33ce45964ff2167f6ecedd419db06c1"},
      {"a million letters", std::string(1'000'000, 'a'),
       "cdc76e5c9914fb9281a1c7e284d73e67f1809a48a497200e046d39ccc7112cd0"},
      {"nothing", "", "e3b0c44298fc1c149afbf4c8996fb92427ae41e4649b934ca495991b7852b855"},
  });
  for (const Row& row : rows) {
    CAPTURE(row.what);
    CHECK(text::sha256(row.bytes) == row.digest);
  }
}

TEST_CASE("values become the bytes that are documented") {
  using namespace std::string_literals;
  CHECK(canonical(std::vector<Value>{}).empty());
  CHECK(canonical(std::vector<Value>{{}}) == "n");
  CHECK(canonical(std::vector<Value>{std::int64_t{7}}) == "i1:7");
  CHECK(canonical(std::vector<Value>{std::int64_t{-120}}) == "i4:-120");
  CHECK(canonical(std::vector<Value>{""s, "Zoë"s}) == "t0:t4:Zo\xC3\xAB");
  // 1.5 is 1.1 in base two: sign 0, exponent 1023, fraction 1000… (IEEE 754-2008 3.4).
  CHECK(canonical(std::vector<Value>{1.5}) == "r8:\x3F\xF8\x00\x00\x00\x00\x00\x00"s);
}

TEST_CASE("no two lists of values have the same bytes") {
  using namespace std::string_literals;
  const std::vector<std::vector<Value>> lists = {
      {},
      {Value()},
      {Value(), Value()},
      {""s},
      {""s, ""s},
      {"n"s},
      {"a"s, "b"s},
      {"ab"s},
      {"ab"s, ""s},
      {""s, "ab"s},
      {"t1:a"s},
      {"a"s, "t1:b"s},
      {"1"s},
      {std::int64_t{1}},
      {1.0},
      {0.0},
      {-0.0},
      {std::numeric_limits<double>::denorm_min()},
      {std::int64_t{1}, std::int64_t{2}},
      {std::int64_t{12}},
  };
  std::set<std::string> seen;
  for (const auto& list : lists) {
    seen.insert(canonical(list));
  }
  CHECK(seen.size() == lists.size());
}

TEST_CASE("no character can go from a text to its salt and leave the hash as it was") {
  const std::string salt = fresh_salt();
  CHECK(salted(2, salt, "not fine") != salted(2, salt + "not ", "fine"));
  CHECK(salted(2, salt, "fine") != salted(2, salt.substr(0, 63), salt.substr(63) + "fine"));
  // The earlier form cannot tell; what a salt looks like does.
  CHECK(salted(1, salt, "not fine") == salted(1, salt + "not ", "fine"));
  CHECK_FALSE(is_salt(salt + "not "));
  CHECK_FALSE(is_salt(salt.substr(0, 63)));
  CHECK_FALSE(is_salt(salt.substr(0, 63) + "F"));
  CHECK_FALSE(is_salt(""));
}

TEST_CASE("a salted text hides what it was made of") {
  const std::string salt = fresh_salt();
  CHECK(salt.size() == 64);
  CHECK(salt.find_first_not_of("0123456789abcdef") == std::string::npos);
  CHECK(is_salt(salt));
  CHECK(salted(1, salt, "Oda Venn") == text::sha256(salt + "Oda Venn"));
  CHECK(salted(2, salt, "Oda Venn") == text::sha256("t64:" + salt + "t8:Oda Venn"));
  std::set<std::string> salts;
  for (int i = 0; i < 1000; ++i) {
    salts.insert(fresh_salt());
  }
  CHECK(salts.size() == 1000);
}
