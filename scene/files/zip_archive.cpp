// SPDX-License-Identifier: GPL-3.0-or-later
#include "scene/files/zip_archive.hpp"

#include <cstdint>
#include <vector>

#include <fmt/format.h>
#include <zip.h>

namespace cellproof {

namespace {

constexpr std::uint64_t largest_entry = std::uint64_t{1} << 30;  // unpacked, bytes: 1 GiB

const auto torn = [] { return tl::unexpected(std::string("its archive is cut off or damaged")); };

struct EntryCloser {
  void operator()(zip_file_t* entry) const { zip_fclose(entry); }
};

/// libzip reads more packings than 3MF allows.
bool is_packed_otherwise(const zip_stat_t& entry) {
  constexpr zip_uint64_t told = ZIP_STAT_COMP_METHOD | ZIP_STAT_ENCRYPTION_METHOD;
  return (entry.valid & told) != told || entry.encryption_method != ZIP_EM_NONE ||
         (entry.comp_method != ZIP_CM_STORE && entry.comp_method != ZIP_CM_DEFLATE);
}

/// The bytes of an entry, of which its directory says how many there are. The library checks the checksum at the end.
tl::expected<void, std::string> pass_on(zip_file_t& entry, std::uint64_t size,
                                        const std::function<bool(std::string_view)>& take) {
  std::vector<char> piece(65536);
  std::uint64_t taken = 0;
  for (;;) {
    const zip_int64_t count = zip_fread(&entry, piece.data(), piece.size());
    if (count < 0) return torn();
    if (count == 0) break;
    taken += static_cast<std::uint64_t>(count);
    if (taken > size) return torn();
    if (!take({piece.data(), static_cast<std::size_t>(count)})) return {};
  }
  if (taken != size) return torn();
  return {};
}

}  // namespace

void ZipCloser::operator()(zip* archive) const {
  zip_discard(archive);
}

tl::expected<ZipArchive, std::string> open_zip(const std::filesystem::path& file) {
  int ignored = 0;
  ZipArchive archive(zip_open(file.c_str(), ZIP_RDONLY, &ignored));
  // The library takes a file without a byte for an archive without an entry.
  if (!archive || zip_get_num_entries(archive.get(), 0) == 0) return torn();
  return archive;
}

tl::expected<void, std::string> unzip(const ZipArchive& archive, const std::string& name,
                                      const std::function<bool(std::string_view)>& take) {
  const zip_int64_t index = zip_name_locate(archive.get(), name.c_str(), ZIP_FL_ENC_RAW);
  if (index < 0) return tl::unexpected(fmt::format("there is no '{}' in it", name));
  const auto number = static_cast<zip_uint64_t>(index);
  zip_stat_t entry;
  constexpr zip_uint64_t sizes = ZIP_STAT_SIZE | ZIP_STAT_COMP_SIZE;
  if (zip_stat_index(archive.get(), number, 0, &entry) != 0 || (entry.valid & sizes) != sizes) return torn();
  if (is_packed_otherwise(entry))
    return tl::unexpected(fmt::format("'{}' in it is packed in a way that is not read", name));
  if (entry.size > largest_entry || entry.comp_size > largest_entry)
    return tl::unexpected(fmt::format("'{}' in it is larger than 1 GiB unpacked", name));
  const std::unique_ptr<zip_file_t, EntryCloser> opened(zip_fopen_index(archive.get(), number, 0));
  if (!opened) return torn();
  return pass_on(*opened, entry.size, take);
}

}  // namespace cellproof
