// SPDX-License-Identifier: GPL-3.0-or-later
// How a page looks: the pictures' colours, on screen and on paper.
#pragma once

#include <string>

namespace cellproof {

/// The <style> element.
std::string page_style();

}  // namespace cellproof
