// SPDX-License-Identifier: GPL-3.0-or-later
// Archives by hand (PKWARE's APPNOTE 6.3.10): what is read, and what is refused before or while it is unpacked.
#include "scene/files/zip_archive.hpp"

#include <utility>
#include <vector>

#include <catch2/catch.hpp>

#include "tests/support/stored_zip.hpp"
#include "tests/support/wedge_files.hpp"

using namespace cellproof;
using Catch::Matchers::Contains;
using test::put_number;
using test::stored_zip;
using test::TestFile;

namespace {

struct Unpacked {
  std::string content, error;
  bool operator==(const Unpacked& other) const { return content == other.content && error == other.error; }
};

Unpacked unpacked(const std::string& archive, const std::string& name = "a") {
  const TestFile file(".zip", archive);
  const auto opened = open_zip(file.path());
  if (!opened) return {"", opened.error()};
  std::string content;
  const auto done = unzip(*opened, name, [&](std::string_view piece) {
    content += piece;
    return true;
  });
  return done ? Unpacked{content, ""} : Unpacked{"", done.error()};
}

const std::string torn = "its archive is cut off or damaged";

void overwrite(std::string& bytes, std::size_t at, std::uint64_t number, std::size_t count) {
  for (std::size_t i = 0; i < count; ++i) bytes.at(at + i) = static_cast<char>(number >> (8 * i) & 0xff);
}

/// A field that local and central header share: where it stands in the local one, the central one has it 2 further.
void overwrite_both(std::string& archive, std::size_t in_local, std::uint64_t number, std::size_t count) {
  overwrite(archive, in_local, number, count);
  overwrite(archive, archive.find("PK\x01\x02") + in_local + 2, number, count);
}

constexpr std::size_t flags = 6, method = 8, checksum = 14, packed_size = 18, size = 22;

/// RFC 1951: one last block, stored.
std::string deflated(const std::string& plain) {
  std::string bytes = "\x01";
  put_number(bytes, static_cast<std::uint32_t>(plain.size()), 2);
  put_number(bytes, ~static_cast<std::uint32_t>(plain.size()) & 0xffff, 2);
  return bytes + plain;
}

/// An archive of one deflated entry that says of itself that it has `told` bytes.
std::string deflated_zip(const std::string& plain, std::size_t told) {
  std::string archive = stored_zip({{"a", deflated(plain)}});
  overwrite_both(archive, method, 8, 2);
  overwrite_both(archive, checksum, test::crc32_of(plain), 4);
  overwrite_both(archive, size, told, 4);
  return archive;
}

}  // namespace

TEST_CASE("a stored and a deflated entry are unpacked, what is not there is named") {
  CHECK(unpacked(stored_zip({{"a", "one"}, {"b", "another"}}), "b") == Unpacked{"another", ""});
  CHECK(unpacked(deflated_zip("word after word", 15)) == Unpacked{"word after word", ""});
  CHECK(unpacked(stored_zip({{"a", ""}})) == Unpacked{"", ""});
  CHECK(unpacked(stored_zip({{"a", "one"}}), "A").error == "there is no 'A' in it");
  CHECK(unpacked(stored_zip({{"a", "one"}, {"a", "two"}})) == Unpacked{"one", ""});
}

TEST_CASE("unpacking ends where the taker wants no more") {
  const TestFile file(".zip", stored_zip({{"a", std::string(1000000, 'x')}}));
  const auto opened = open_zip(file.path());
  REQUIRE(opened);
  std::size_t taken = 0;
  CHECK(unzip(*opened, "a", [&](std::string_view piece) {
    taken += piece.size();
    return false;
  }));
  CHECK(taken > 0);
  CHECK(taken < 1000000);
}

TEST_CASE("encrypted entries and packings other than 3MF's are refused") {
  const std::vector<std::pair<std::size_t, unsigned>> otherwise = {
      {flags, 1}, {method, 1}, {method, 12}, {method, 14}, {method, 93}, {method, 95}, {method, 99}};
  for (const auto& [field, number] : otherwise) {
    std::string archive = stored_zip({{"a", "secret and more"}});
    overwrite_both(archive, field, number, 2);
    CAPTURE(field, number);
    const Unpacked answer = unpacked(archive);
    CHECK(answer.content.empty());
    CHECK_THAT(answer.error, Contains("packed in a way that is not read") || Contains(torn));
  }
}

TEST_CASE("an entry that says it is larger than 1 GiB is refused before a byte of it is unpacked") {
  for (const std::uint64_t told : {0x40000001ULL, 0x80000000ULL, 0xfffffffeULL}) {
    CHECK(unpacked(deflated_zip("little", told)).error == "'a' in it is larger than 1 GiB unpacked");
  }
  CHECK(unpacked(deflated_zip("little", 0x40000000)).error == torn);
}

TEST_CASE("an entry that unpacks to more or less than it says is refused, however it is packed") {
  for (const std::size_t told : {0, 1, 5, 7, 1000}) {
    CAPTURE(told);
    CHECK(unpacked(deflated_zip("little", told)).error == torn);
    std::string stored = stored_zip({{"a", "little"}});
    overwrite_both(stored, size, told, 4);
    CHECK(unpacked(stored).error == torn);
  }
}

TEST_CASE("a checksum that does not fit, or bytes changed in an entry, are found") {
  for (const bool is_deflated : {false, true}) {
    const std::string good =
        is_deflated ? deflated_zip("little by little", 16) : stored_zip({{"a", "little by little"}});
    REQUIRE(unpacked(good).content == "little by little");
    std::string archive = good;
    overwrite_both(archive, checksum, 4711, 4);
    CHECK(unpacked(archive).error == torn);
    const std::size_t begin = good.find("little");
    for (std::size_t i = begin; i < begin + 16; ++i) {
      archive = good;
      archive[i] = static_cast<char>(archive[i] ^ 1);
      CHECK(unpacked(archive).error == torn);
    }
  }
}

TEST_CASE("an archive cut off anywhere gives nothing that was not in it") {
  const std::string good = stored_zip({{"a", "little by little"}, {"b", "more"}});
  for (std::size_t length = 0; length < good.size(); ++length) {
    CAPTURE(length);
    const Unpacked answer = unpacked(good.substr(0, length));
    CHECK(answer.content.empty());
    CHECK_FALSE(answer.error.empty());
  }
  CHECK(unpacked("").error == torn);
  CHECK(unpacked("no archive at all, though long enough to be one").error == torn);
}

TEST_CASE("sizes that stand in a zip64 field are read") {
  // APPNOTE 4.5.3: kind 1, then size, packed size and offset where the header has all ones
  std::string extra;
  put_number(extra, 1, 2);
  put_number(extra, 16, 2);
  for (const std::uint32_t number : {6U, 0U, 6U, 0U}) put_number(extra, number, 4);
  std::string archive = stored_zip({{"a", "little"}});
  const std::size_t central = archive.find("PK\x01\x02");
  overwrite(archive, central + packed_size + 2, 0xffffffff, 4);
  overwrite(archive, central + size + 2, 0xffffffff, 4);
  overwrite(archive, central + 30, extra.size(), 2);
  const std::size_t end = archive.find("PK\x05\x06");
  overwrite(archive, end + 12, end - central + extra.size(), 4);
  archive.insert(end, extra);
  CHECK(unpacked(archive) == Unpacked{"little", ""});
}
