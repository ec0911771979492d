// SPDX-License-Identifier: GPL-3.0-or-later
#include "scene/files/zip_archive.hpp"

#include <algorithm>
#include <fstream>
#include <iterator>
#include <optional>

#include <fmt/format.h>
#include <zlib.h>

namespace cellproof {

namespace {

constexpr std::uint64_t largest_entry = std::uint64_t{1} << 30;  // unpacked, bytes: 1 GiB
constexpr std::size_t end_size = 22, central_size = 46, local_size = 30, longest_comment = 65535;
constexpr std::uint32_t in_extra_field = 0xffffffff;

const auto torn = [] { return tl::unexpected(std::string("its archive is cut off or damaged")); };

/// A little-endian number of so many bytes.
std::uint64_t number_at(std::string_view bytes, std::size_t at, std::size_t count) {
  std::uint64_t number = 0;
  for (std::size_t i = count; i-- > 0;) number = number << 8 | static_cast<unsigned char>(bytes[at + i]);
  return number;
}

bool signed_at(std::string_view bytes, std::uint64_t at, std::string_view signature, std::size_t size) {
  return at <= bytes.size() && bytes.size() - at >= size && bytes.substr(at, signature.size()) == signature;
}

/// Where the record at the archive's end begins.
std::optional<std::size_t> end_record(std::string_view bytes) {
  if (bytes.size() < end_size) return {};
  const std::size_t first = bytes.size() - end_size - std::min(longest_comment, bytes.size() - end_size);
  for (std::size_t at = bytes.size() - end_size + 1; at-- > first;)
    if (bytes.substr(at, 4) == "PK\x05\x06") return at;
  return {};
}

/// Sizes and offset that do not fit into 32 bits stand in an extra field of kind 1.
bool read_wide_numbers(std::string_view extra, ZipEntry& entry) {
  std::size_t at = 0;
  while (at + 4 <= extra.size()) {
    const std::size_t kind = number_at(extra, at, 2), end = at + 4 + number_at(extra, at + 2, 2);
    if (end > extra.size()) return false;
    at += 4;
    for (std::uint64_t* number : {&entry.size, &entry.packed, &entry.offset}) {
      if (kind != 1 || *number != in_extra_field) continue;
      if (at + 8 > end) return false;
      *number = number_at(extra, at, 8);
      at += 8;
    }
    at = end;
  }
  return true;
}

/// Where the packed bytes of an entry begin, behind its local header.
std::optional<std::size_t> data_begin(std::string_view bytes, const ZipEntry& entry) {
  if (!signed_at(bytes, entry.offset, "PK\x03\x04", local_size)) return {};
  const std::uint64_t begin =
      entry.offset + local_size + number_at(bytes, entry.offset + 26, 2) + number_at(bytes, entry.offset + 28, 2);
  if (begin > bytes.size() || bytes.size() - begin < entry.packed) return {};
  return begin;
}

/// Inflates raw deflated bytes; gives memory back however it ends.
class Inflater {
 public:
  explicit Inflater(std::string_view packed) {
    stream_.next_in = reinterpret_cast<Bytef*>(const_cast<char*>(packed.data()));
    stream_.avail_in = static_cast<uInt>(packed.size());
    ready_ = inflateInit2(&stream_, -MAX_WBITS) == Z_OK;
  }
  ~Inflater() {
    if (ready_) inflateEnd(&stream_);
  }
  Inflater(const Inflater&) = delete;
  Inflater& operator=(const Inflater&) = delete;

  /// The next bytes, none at the end, nothing where they are damaged.
  std::optional<std::string_view> next() {
    if (!ready_) return {};
    if (ended_) return std::string_view{};
    stream_.next_out = reinterpret_cast<Bytef*>(piece_.data());
    stream_.avail_out = static_cast<uInt>(piece_.size());
    const int status = inflate(&stream_, Z_NO_FLUSH);
    ended_ = status == Z_STREAM_END;
    const std::string_view got(piece_.data(), piece_.size() - stream_.avail_out);
    if (!ended_ && (status != Z_OK || got.empty())) return {};
    return got;
  }

 private:
  z_stream stream_{};
  std::string piece_ = std::string(65536, '\0');
  bool ready_ = false, ended_ = false;
};

std::uint32_t crc_of(std::uint32_t crc, std::string_view bytes) {
  return static_cast<std::uint32_t>(
      crc32_z(crc, reinterpret_cast<const Bytef*>(bytes.data()), static_cast<z_size_t>(bytes.size())));
}

}  // namespace

tl::expected<ZipArchive, std::string> open_zip(const std::filesystem::path& file) {
  std::ifstream in(file, std::ios::binary);
  ZipArchive archive{{std::istreambuf_iterator<char>(in), {}}, {}};
  const std::string_view bytes = archive.bytes;
  const auto end = end_record(bytes);
  if (!end) return torn();
  const std::uint64_t count = number_at(bytes, *end + 10, 2);
  std::uint64_t at = number_at(bytes, *end + 16, 4);
  for (std::uint64_t i = 0; i < count; ++i) {
    if (!signed_at(bytes, at, "PK\x01\x02", central_size)) return torn();
    const std::size_t name = number_at(bytes, at + 28, 2), extra = number_at(bytes, at + 30, 2),
                      comment = number_at(bytes, at + 32, 2);
    if (bytes.size() - at - central_size < name + extra) return torn();
    ZipEntry entry;
    entry.encrypted = (number_at(bytes, at + 8, 2) & 1) != 0;
    entry.method = static_cast<unsigned>(number_at(bytes, at + 10, 2));
    entry.crc = static_cast<std::uint32_t>(number_at(bytes, at + 16, 4));
    entry.packed = number_at(bytes, at + 20, 4);
    entry.size = number_at(bytes, at + 24, 4);
    entry.offset = number_at(bytes, at + 42, 4);
    if (!read_wide_numbers(bytes.substr(at + central_size + name, extra), entry)) return torn();
    archive.entries.emplace(bytes.substr(at + central_size, name), entry);
    at += central_size + name + extra + comment;
  }
  return archive;
}

tl::expected<void, std::string> unzip(const ZipArchive& archive, const std::string& name,
                                      const std::function<bool(std::string_view)>& take) {
  const auto found = archive.entries.find(name);
  if (found == archive.entries.end()) return tl::unexpected(fmt::format("there is no '{}' in it", name));
  const ZipEntry& entry = found->second;
  if (entry.encrypted || (entry.method != 0 && entry.method != 8))
    return tl::unexpected(fmt::format("'{}' in it is packed in a way that is not read", name));
  if (entry.size > largest_entry || entry.packed > largest_entry)
    return tl::unexpected(fmt::format("'{}' in it is larger than 1 GiB unpacked", name));
  const auto begin = data_begin(archive.bytes, entry);
  if (!begin) return torn();
  const std::string_view packed = std::string_view(archive.bytes).substr(*begin, entry.packed);
  std::uint64_t size = 0;
  std::uint32_t crc = 0;
  const auto pass_on = [&](std::string_view piece) {
    size += piece.size();
    crc = crc_of(crc, piece);
    return take(piece);
  };
  if (entry.method == 0) {
    if (!pass_on(packed)) return {};
  } else {
    Inflater inflater(packed);
    for (;;) {
      const auto piece = inflater.next();
      if (!piece || size + piece->size() > entry.size) return torn();
      if (piece->empty()) break;
      if (!pass_on(*piece)) return {};
    }
  }
  if (size != entry.size || crc != entry.crc) return torn();
  return {};
}

}  // namespace cellproof
