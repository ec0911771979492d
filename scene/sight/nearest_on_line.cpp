// SPDX-License-Identifier: GPL-3.0-or-later
#include "scene/sight/nearest_on_line.hpp"

#include <algorithm>
#include <cstddef>
#include <span>

namespace cellproof {
namespace {

/// A part of a cover that is on top.
struct TopPart {
  double from, to;
  const Cover* cover;
};
using Parts = std::vector<TopPart>;

double nearness(const Cover& cover, double at) {
  return cover.near_from + (cover.near_to - cover.near_from) * ((at - cover.from) / (cover.to - cover.from));
}

void add(Parts& parts, double from, double to, const Cover* cover) {
  if (!(from < to)) return;
  if (!parts.empty() && parts.back().cover == cover && parts.back().to == from)
    parts.back().to = to;
  else
    parts.push_back({from, to, cover});
}

/// Two covers over the same stretch: whichever is on top, cut where they cross.
void add_upper(Parts& parts, double from, double to, const Cover* a, const Cover* b) {
  const double lead_from = nearness(*a, from) - nearness(*b, from), lead_to = nearness(*a, to) - nearness(*b, to);
  if (lead_from >= 0 && lead_to >= 0) return add(parts, from, to, a);
  if (lead_from <= 0 && lead_to <= 0) return add(parts, from, to, b);
  const double crossing = std::clamp(from + (to - from) * (lead_from / (lead_from - lead_to)), from, to);
  add(parts, from, crossing, lead_from > 0 ? a : b);
  add(parts, crossing, to, lead_from > 0 ? b : a);
}

/// The upper envelope of two, both sorted, neither with overlaps.
void merge(std::span<const TopPart> a, std::span<const TopPart> b, Parts& merged) {
  double done = std::min(a.front().from, b.front().from);
  std::size_t i = 0, j = 0;
  while (i < a.size() && j < b.size()) {
    const double from_a = std::max(done, a[i].from), from_b = std::max(done, b[j].from);
    const double to_a = a[i].to, to_b = b[j].to;
    if (from_a < from_b) {
      done = std::min(to_a, from_b);
      add(merged, from_a, done, a[i].cover);
    } else if (from_b < from_a) {
      done = std::min(to_b, from_a);
      add(merged, from_b, done, b[j].cover);
    } else {
      done = std::min(to_a, to_b);
      add_upper(merged, from_a, done, a[i].cover, b[j].cover);
    }
    i += done >= to_a;
    j += done >= to_b;
  }
  for (; i < a.size(); ++i) add(merged, std::max(done, a[i].from), a[i].to, a[i].cover);
  for (; j < b.size(); ++j) add(merged, std::max(done, b[j].from), b[j].to, b[j].cover);
}

/// Builds envelopes at the end of `parts`. As the covers are sorted, those of two halves overlap a little in their
/// middle: only that is merged.
class EnvelopeBuilder {
 public:
  void append(std::span<const Cover> covers) {
    if (covers.size() <= 1) {
      for (const Cover& cover : covers) parts.push_back({cover.from, cover.to, &cover});
      return;
    }
    const std::size_t begin = parts.size(), half = covers.size() / 2;
    append(covers.first(half));
    const std::size_t middle = parts.size();
    append(covers.subspan(half));
    join(begin, middle);
  }
  Parts parts;

 private:
  void join(std::size_t begin, std::size_t middle) {
    const auto at = [&](std::size_t i) { return parts.begin() + static_cast<std::ptrdiff_t>(i); };
    const auto low =
        std::partition_point(at(begin), at(middle), [&](const TopPart& part) { return part.to <= parts[middle].from; });
    const auto high = std::partition_point(at(middle), parts.end(),
                                           [&](const TopPart& part) { return part.from < parts[middle - 1].to; });
    if (low == at(middle)) return;
    merged_.clear();
    merge({low, at(middle)}, {at(middle), high}, merged_);
    const std::ptrdiff_t replaced = std::min(high - low, std::ssize(merged_));
    std::copy(merged_.begin(), merged_.begin() + replaced, low);
    if (low + replaced < high)
      parts.erase(low + replaced, high);
    else
      parts.insert(high, merged_.begin() + replaced, merged_.end());
  }
  Parts merged_;
};

}  // namespace

std::vector<Top> nearest_on_line(std::vector<Cover> covers, double seam) {
  std::ranges::stable_sort(covers, {}, &Cover::from);
  EnvelopeBuilder builder;
  builder.parts.reserve(2 * covers.size());
  builder.append(covers);
  std::vector<Top> tops;
  for (const TopPart& part : builder.parts) {
    if (!tops.empty() && part.from - tops.back().to <= seam) tops.back().to = part.from;
    if (!tops.empty() && tops.back().to == part.from && tops.back().body == part.cover->body)
      tops.back().to = part.to;
    else
      tops.push_back({part.from, part.to, part.cover->body});
  }
  return tops;
}

}  // namespace cellproof
