// SPDX-License-Identifier: GPL-3.0-or-later
// STL: which of its two kinds a file is, and the text one.
#include <algorithm>
#include <cstdint>
#include <cstring>

#include <fmt/format.h>

#include "scene/files/mesh_corners.hpp"
#include "scene/files/text_words.hpp"

namespace cellproof {

namespace {

constexpr std::size_t binary_head = 84, binary_triangle = 50;

/// What a binary file of as many triangles as its head claims has; 0 if it has no whole head.
std::uint64_t binary_size(std::string_view bytes) {
  if (bytes.size() < binary_head) return 0;
  std::uint32_t triangles = 0;
  std::memcpy(&triangles, bytes.data() + binary_head - sizeof triangles, sizeof triangles);
  return binary_head + std::uint64_t{binary_triangle} * triangles;
}

/// Capital letters count as small ones.
bool is(std::string_view word, std::string_view key) {
  return std::equal(word.begin(), word.end(), key.begin(), key.end(),
                    [](char a, char b) { return (a >= 'A' && a <= 'Z' ? static_cast<char>(a - 'A' + 'a') : a) == b; });
}

bool begins_as_text(std::string_view bytes) {
  std::string_view line;
  for (Lines lines(bytes); lines.next(line);)
    if (const std::string_view word = Words(line).next(); !word.empty()) return is(word, "solid");
  return false;
}

/// Solids of facets, each of one loop of three vertices. What is said of normals is left aside.
class StlText {
 public:
  /// A clause: what is wrong; empty if nothing is.
  std::string read(std::string_view text) {
    Lines lines(text);
    for (std::string_view line; lines.next(line);) {
      Words words(line);
      for (std::string_view word = words.next(); !word.empty(); word = words.next())
        if (const std::string trouble = take(word, words); !trouble.empty())
          return fmt::format("line {}: {}", lines.number(), trouble);
    }
    if (within_ != Block::nothing) return "it ends before its endsolid";
    return corners.empty() ? "it has no facets" : "";
  }

  std::vector<Vector3d> corners;

 private:
  enum class Block { nothing, solid, normal, loop, facet };

  std::string take(std::string_view word, Words& words) {
    switch (within_) {
      case Block::nothing:
        return is(word, "solid") ? named(words, Block::solid) : out_of_place(word);
      case Block::solid:
        if (is(word, "endsolid")) return named(words, Block::nothing);
        return is(word, "facet") ? enter(Block::normal) : out_of_place(word);
      case Block::normal:  // "normal" and what some write as no numbers
        if (is(word, "outer")) return is(words.next(), "loop") ? enter(Block::loop) : out_of_place(word);
        return ++words_of_normal_ <= 4 ? "" : out_of_place(word);
      case Block::loop:
        if (is(word, "vertex")) return vertex(words);
        if (!is(word, "endloop")) return out_of_place(word);
        return vertices_ == 3 ? enter(Block::facet) : fmt::format("a facet has {} vertices", vertices_);
      case Block::facet:
        return is(word, "endfacet") ? enter(Block::solid) : out_of_place(word);
    }
    return {};
  }

  static std::string out_of_place(std::string_view word) { return fmt::format("'{}' is out of place", shown(word)); }

  std::string enter(Block next) {
    within_ = next;
    words_of_normal_ = vertices_ = 0;
    return {};
  }

  /// A solid's name goes on to the end of the line.
  std::string named(Words& words, Block next) {
    words = Words({});
    return enter(next);
  }

  std::string vertex(Words& words) {
    Vector3d position;
    for (double& number : position)
      if (const std::string_view word = words.next(); !decimal_number(word, number))
        return fmt::format("'{}' of a vertex is not a number", shown(word));
    corners.push_back(position);
    ++vertices_;
    return {};
  }

  Block within_ = Block::nothing;
  int words_of_normal_ = 0, vertices_ = 0;  ///< of the facet at hand
};

}  // namespace

ReadTriangles stl_triangles(const std::filesystem::path& file) {
  const auto refused = [&](const std::string& why) {
    return tl::unexpected(fmt::format("the mesh file {} can't be read as STL ({})", file.string(), why));
  };
  auto bytes = mesh_file_bytes(file);
  if (!bytes) return tl::unexpected(bytes.error());
  const std::uint64_t if_binary = binary_size(*bytes);
  if (if_binary == bytes->size()) {
    bytes->clear();
    bytes->shrink_to_fit();
    auto corners = assimp_corners(file);
    if (!corners) return tl::unexpected(corners.error());
    return FileTriangles{std::move(*corners), 0};
  }
  if (begins_as_text(*bytes)) {
    StlText text;
    if (const std::string trouble = text.read(*bytes); !trouble.empty()) return refused(trouble);
    return FileTriangles{std::move(text.corners), 0};
  }
  if (if_binary == 0) return refused("it neither begins as text nor has a whole binary head");
  return refused(
      fmt::format("it holds {} bytes, and the triangles that its head counts take {}", bytes->size(), if_binary));
}

}  // namespace cellproof
