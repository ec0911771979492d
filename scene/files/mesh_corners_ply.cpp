// SPDX-License-Identifier: GPL-3.0-or-later
// PLY: the faces of a file, polygons of any shape, and its triangle strips. Any other element is read over.
#include <algorithm>
#include <array>
#include <cmath>
#include <cstdint>

#include <fmt/format.h>

#include "scene/files/mesh_corners.hpp"
#include "scene/files/ply_numbers.hpp"
#include "scene/files/polygon_cut.hpp"

namespace cellproof {

namespace {

constexpr const char* too_short = "it ends before all its elements";
constexpr const char* missing = "a number is missing or is none";

/// What a property of an element is to the surface.
enum class Meaning { none, x, y, z, corners };

Meaning meaning_of(const PlyElement& element, const PlyProperty& property) {
  const std::string& name = property.name;
  if (element.name == "vertex" && !property.count)
    return name == "x" ? Meaning::x : name == "y" ? Meaning::y : name == "z" ? Meaning::z : Meaning::none;
  const bool surface = element.name == "face" || element.name == "tristrips";
  return surface && property.count && (name == "vertex_indices" || name == "vertex_index") ? Meaning::corners
                                                                                           : Meaning::none;
}

/// A clause if a vertex has no place, or a face no corners.
std::string lacking(const PlyElement& element, const std::vector<Meaning>& meanings) {
  const auto times = [&](Meaning meaning) { return std::count(meanings.begin(), meanings.end(), meaning); };
  if (element.name == "vertex" && (times(Meaning::x) != 1 || times(Meaning::y) != 1 || times(Meaning::z) != 1))
    return "its vertices have not x, y and z, each once";
  if ((element.name == "face" || element.name == "tristrips") && times(Meaning::corners) != 1)
    return fmt::format("the element {} has no list of vertex_indices", element.name);
  return {};
}

class PlyReader {
 public:
  explicit PlyReader(const PlyHeader& header) : header_(header) {}

  /// A clause: what is wrong; empty if nothing is.
  template <class Numbers>
  std::string read(Numbers numbers) {
    for (const PlyElement& element : header_.elements)
      if (std::string trouble = read_all(numbers, element); !trouble.empty()) return trouble;
    if (numbers.more()) return "it holds more than the elements that its header counts";
    if (places_.empty()) return "it has no faces";
    const std::uint32_t highest = *std::max_element(places_.begin(), places_.end());
    return highest < positions_.size()
               ? ""
               : fmt::format("a face asks for vertex {}, and there are {}, from 0", highest, positions_.size());
  }

  /// After a reading without trouble.
  FileTriangles triangles() const {
    FileTriangles result;
    result.corners.reserve(3 * (places_.size() - 2 * sizes_.size()));
    std::vector<Vector3d> polygon;
    std::size_t begin = 0;
    for (const std::uint32_t size : sizes_) {
      polygon.clear();
      for (std::size_t i = 0; i < size; ++i) polygon.push_back(positions_[places_[begin + i]]);
      append_polygon(polygon, result);
      begin += size;
    }
    return result;
  }

 private:
  template <class Numbers>
  std::string read_all(Numbers& numbers, const PlyElement& element) {
    std::vector<Meaning> meanings;
    for (const PlyProperty& property : element.properties) meanings.push_back(meaning_of(element, property));
    if (std::string trouble = lacking(element, meanings); !trouble.empty()) return trouble;
    if (element.properties.empty()) return {};
    if (element.count > numbers.bytes_left() / least_bytes(element, header_.format) + 1) return too_short;
    if (element.name == "vertex") positions_.reserve(positions_.size() + element.count);
    for (std::uint64_t i = 0; i < element.count; ++i) {
      if (!numbers.begin_element()) return too_short;
      std::string trouble = read_one(numbers, element, meanings);
      if (trouble == missing && !numbers.more()) return too_short;
      if (trouble.empty() && !numbers.end_element()) trouble = "its line holds more than its properties";
      if (!trouble.empty()) return fmt::format("{} {}: {}", shown(element.name), i, trouble);
    }
    return {};
  }

  template <class Numbers>
  std::string read_one(Numbers& numbers, const PlyElement& element, const std::vector<Meaning>& meanings) {
    Vector3d position = Vector3d::Zero();
    for (std::size_t p = 0; p < meanings.size(); ++p) {
      const PlyProperty& property = element.properties[p];
      double number = 0;
      if (!numbers.next(property.count.value_or(property.type), number)) return missing;
      if (property.count) {
        if (!is_place(number)) return "a list has no count";
        const auto size = static_cast<std::size_t>(number);
        const bool corners = meanings[p] == Meaning::corners;
        if (std::string trouble = read_list(numbers, property.type, size, corners); !trouble.empty()) return trouble;
        if (corners)
          if (std::string trouble = element.name == "face" ? take_face() : take_strip(); !trouble.empty())
            return trouble;
      } else if (meanings[p] != Meaning::none) {
        position[static_cast<int>(meanings[p]) - static_cast<int>(Meaning::x)] = number;
      }
    }
    if (element.name == "vertex") positions_.push_back(position);
    return {};
  }

  template <class Numbers>
  std::string read_list(Numbers& numbers, PlyType type, std::size_t size, bool keep) {
    list_.clear();
    for (std::size_t i = 0; i < size; ++i) {
      double number = 0;
      if (!numbers.next(type, number)) return missing;
      if (keep) list_.push_back(number);
    }
    return {};
  }

  static bool is_place(double number) { return number >= 0 && number < 0xffffffff && number == std::floor(number); }

  std::string take_face() {
    if (list_.size() < 3) return fmt::format("a face has {} corners", list_.size());
    if (list_.size() > most_polygon_corners)
      return fmt::format("a face has {} corners, and {} are the most that are read", list_.size(),
                         most_polygon_corners);
    if (!std::all_of(list_.begin(), list_.end(), is_place)) return "a face asks for a vertex that there is none";
    for (const double number : list_) places_.push_back(static_cast<std::uint32_t>(number));
    sizes_.push_back(static_cast<std::uint32_t>(list_.size()));
    return {};
  }

  /// Every other triangle is turned; -1 begins a new strip.
  std::string take_strip() {
    std::size_t begin = 0;
    for (std::size_t i = 0; i < list_.size(); ++i) {
      if (list_[i] == -1) begin = i + 1;
      if (list_[i] != -1 && !is_place(list_[i])) return "a strip asks for a vertex that there is none";
      if (list_[i] == -1 || i < begin + 2) continue;
      const bool turned = (i - begin) % 2 == 1;
      for (const double number : {list_[i - 2], list_[turned ? i : i - 1], list_[turned ? i - 1 : i]})
        places_.push_back(static_cast<std::uint32_t>(number));
      sizes_.push_back(3);
    }
    return {};
  }

  const PlyHeader& header_;
  std::vector<Vector3d> positions_;
  std::vector<std::uint32_t> places_, sizes_;  ///< of all faces' corners; how many each face has
  std::vector<double> list_;
};

}  // namespace

ReadTriangles ply_triangles(const std::filesystem::path& file) {
  const auto refused = [&](const std::string& why) {
    return tl::unexpected(fmt::format("the mesh file {} can't be read as PLY ({})", file.string(), why));
  };
  const auto bytes = mesh_file_bytes(file);
  if (!bytes) return tl::unexpected(bytes.error());
  const auto header = read_ply_header(*bytes);
  if (!header) return refused(header.error());
  PlyReader reader(*header);
  const std::string_view data = std::string_view(*bytes).substr(header->size);
  const std::string trouble =
      header->format == PlyHeader::Format::text
          ? reader.read(PlyTextNumbers(data))
          : reader.read(PlyBinaryNumbers(data, header->format == PlyHeader::Format::big_endian));
  if (!trouble.empty()) return refused(trouble);
  FileTriangles triangles = reader.triangles();
  triangles.ends_within_a_line = header->format == PlyHeader::Format::text && ends_within_a_line(*bytes);
  return triangles;
}

}  // namespace cellproof
