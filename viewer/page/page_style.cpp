// SPDX-License-Identifier: GPL-3.0-or-later
#include "viewer/page/page_style.hpp"

#include <fmt/format.h>

#include "viewer/page/html.hpp"
#include "viewer/pictures/palette.hpp"

namespace cellproof {

std::string page_style() {
  return fmt::format(
      "<style>\n"
      "body {{ background: {0}; color: {1}; overflow-wrap: break-word; font: 15px/1.45 system-ui, sans-serif; "
      "max-width: "
      "1080px; margin: 24px "
      "auto; "
      "padding: 0 16px }}\n"
      "h1 {{ font-size: 24px; margin: 0 }} h2 {{ font-size: 18px; margin: 32px 0 8px; border-bottom: 1px solid {2} }}\n"
      "h3 {{ font-size: 15px; margin: 0 }} p, ul {{ margin: 4px 0 }}\n"
      ".verdict {{ font-size: 20px; font-weight: bold }} .pass {{ color: {5} }} .fail {{ color: {3} }}\n"
      "article {{ border-left: 4px solid {4}; padding: 2px 12px; margin: 14px 0 }} article.fails {{ border-color: {3} "
      "}}\n"
      ".change {{ font-weight: 600 }}\n"
      ".pictures {{ display: flex; flex-wrap: wrap; gap: 10px; margin: 8px 0 }}\n"
      "figure {{ flex: 1 1 440px; max-width: 640px; margin: 0 }} img {{ width: 100%; height: auto; border: 1px solid "
      "{2} }}\n"
      "figcaption {{ font-size: 13px; color: {2} }}\n"
      "table {{ border-collapse: collapse; font-size: 14px }} th, td {{ text-align: left; padding: 2px 12px 2px 0; "
      "max-width: 480px }}\n"
      "th {{ border-bottom: 1px solid {2} }} td.n, th.n {{ text-align: right; white-space: nowrap; "
      "font-variant-numeric: tabular-nums }}\n"
      "tr.fails td {{ color: {3} }}\n"
      "svg {{ width: 100%; height: auto }} svg text {{ font-size: 11px; fill: {1} }}\n"
      ".grid {{ stroke: {2}; stroke-width: .3 }} .step {{ stroke: {2}; stroke-width: .5; stroke-dasharray: 2 3 }}\n"
      ".rule {{ stroke: {3}; stroke-dasharray: 6 4 }} .between {{ fill: {6}; fill-opacity: .3 }}\n"
      ".bound {{ fill: none; stroke: {6}; stroke-width: 1.4 }} path.fails {{ fill: {3} }} path.care {{ fill: {4} }}\n"
      "@media print {{ body {{ margin: 0; max-width: none; font-size: 11px }} table {{ font-size: 10px }} "
      "h2, h3 {{ break-after: avoid }} figure, tr, svg {{ break-inside: avoid }} figure {{ flex-basis: 40% }} }}\n"
      "</style>\n",
      html_colour(palette::paper), html_colour(palette::ink), html_colour(palette::faint_ink),
      html_colour(palette::marked), html_colour(palette::arm), html_colour(blend(palette::part, palette::ink, 0.4)),
      html_colour(palette::end_effector));
}

}  // namespace cellproof
