// SPDX-License-Identifier: GPL-3.0-or-later
// What each supply of vacuum does over the cycle.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "checks/grip_measure.hpp"
#include "scene/cell/cell.hpp"
#include "scene/cycle/cycle.hpp"

namespace cellproof {

struct CyclePlace {
  std::size_t run = 0, stretch = 0;
  double time_s = 0;
};

/// The carry that ends first once the source draws no more.
struct KeptMeasure {
  double seconds = 0;  ///< until it holds just once; infinite without a leak
  double factor = 0;   ///< how many times it holds at what the checks count on
  TcpId tcp;
  CyclePlace at;  ///< where it holds least
};

struct LayDownMeasure {
  double seconds = 0;
  CyclePlace at;  ///< the instant at which it takes longest
};

/// A holder that is opened to ambient, or begins open, while another of the same supply holds.
struct OpenedBeside {
  CyclePlace at;
  std::string opened, holds;  ///< tcps or holds
};

struct SupplyMeasure {
  SupplyId supply;
  double reached = 0, counted = 0;         ///< Pa below ambient
  std::optional<double> evacuation;        ///< s, infinite: never; none: the volume is not known
  std::optional<KeptMeasure> kept;         ///< of what is carried by it, where that can be computed
  std::optional<LayDownMeasure> lay_down;  ///< of the same
  std::optional<double> air;               ///< mm^3 of free air, of the run that takes most
  std::vector<OpenedBeside> opened;        ///< each pair once a run, at its first
  std::vector<std::string> open;           ///< what can't be computed, and what is missing for it: a sentence each
};

/// Grips by run and stretch, none where nothing is held or it can't be computed.
using GripsOfRuns = std::vector<std::vector<const GripMeasure*>>;

std::vector<SupplyMeasure> measure_supplies(const Scene& scene, const BodyMasses& masses, const Cycle& cycle,
                                            const GripsOfRuns& grips);

}  // namespace cellproof
