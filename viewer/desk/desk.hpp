// SPDX-License-Identifier: GPL-3.0-or-later
// All that the window knows and does, without drawing: which proof is shown, which instant, what is chosen and hidden,
// what is being proved beside it.
#pragma once

#include <set>

#include "viewer/desk/camera_inset.hpp"
#include "viewer/desk/picking.hpp"
#include "viewer/desk/playhead.hpp"
#include "viewer/desk/prover.hpp"
#include "viewer/finding_places.hpp"
#include "viewer/gathered_findings.hpp"
#include "viewer/pictures/gap_plot.hpp"

namespace cellproof {

/// The gap at an instant; none where no pair is checked.
struct GapNow {
  double time_s = 0;
  std::size_t run = 0;
  std::optional<ClearanceFigure> gap;
};

class Desk {
 public:
  explicit Desk(std::filesystem::path cell_file);

  /// Goes on by some seconds of the clock: plays, takes in what was proved, looks whether a file is new.
  void tick(double seconds);

  // What there is to see. Until the first cell is open there is none; until it is proved its report is empty.
  const Proof* proof() const { return proof_.get(); }
  bool proved() const { return proved_; }
  const Timeline& timeline() const { return timeline_; }
  const GapPlot& plot() const { return plot_; }
  const std::vector<Gathered>& groups() const { return groups_; }
  const Moment& moment() const { return moment_; }
  const Playhead& playhead() const { return playhead_; }
  std::optional<std::size_t> chosen_group() const { return chosen_; }
  std::optional<std::size_t> chosen_finding() const;
  /// Nearest points of the chosen finding's pair, where it has one, as long as its instant is shown: world.
  const std::optional<ClearanceFigure>& marked_pair() const { return marked_; }
  const std::optional<GapNow>& gap() const { return gap_; }
  double gap_rule_mm() const;
  const std::optional<CameraInset>& inset() const { return inset_; }
  bool beside_done() const;  ///< gap and inset are those of the instant
  const std::filesystem::path& file() const { return file_; }
  const std::string& trouble() const { return trouble_; }  ///< why the newest state of the file can't be shown
  bool proving() const { return prover_.busy(); }
  ProofProgress progress() const { return prover_.progress(); }
  bool shown(BodyId body) const;  ///< there at this instant, and not hidden
  /// Bodies that the chosen finding is about.
  bool in_trouble(BodyId body) const;

  // Raised by every change of its kind; a drawing that has drawn a number need not draw it again.
  unsigned cell_number() const { return cell_number_; }  ///< a cell, proved or not yet
  unsigned proof_number() const { return proof_number_; }
  unsigned moment_number() const { return moment_number_; }
  unsigned gap_number() const { return gap_number_; }
  unsigned inset_number() const { return inset_number_; }
  unsigned look_number() const { return look_number_; }  ///< hidden, chosen, unit, ruler

  // What the user does.
  void toggle_play();
  void scrub(double share);
  void go_to(std::size_t run, double time_s, const std::string& step = {});  ///< as `moment_of` takes it
  void choose_group(std::size_t group);
  /// Goes to a finding that need not be the worst of its group.
  void choose_finding(std::size_t finding);
  void step_group(bool backwards);
  void hide(const std::string& body, bool hidden);
  bool hidden(const std::string& body) const { return hidden_.contains(body); }
  void choose_camera(CameraId camera);  ///< none: no picture
  CameraId camera() const { return camera_; }
  void set_unit(LengthUnit unit);
  LengthUnit unit() const { return unit_; }
  void set_ruler(const Ruler& ruler);
  const Ruler& ruler() const { return ruler_; }

  /// Shows something elsewhere, and all else as the file has it; proved once `prove_placement` is called. A mover of
  /// "" puts all back.
  void place(const std::string& mover, const Placement& placement);
  void prove_placement();
  std::string line_to_keep() const;  ///< what to write into the file; empty if nothing is placed elsewhere
  bool placement_proved() const;     ///< what is shown is what was proved
  const std::string& mover() const { return mover_; }
  const Placement& placement() const { return placement_; }  ///< from where the file has it

  /// The file as it stands now, proved anew.
  void reload();

 private:
  void take_in(ProofAnswer answer);
  void show_run(const std::string& step = {});
  void show_placement();
  void show_moment(const std::string& step = {});
  void ask_beside();
  void take_beside();

  std::filesystem::path file_;
  std::shared_ptr<const Proof> proof_;
  bool proved_ = false;
  std::optional<Scene> stated_;  ///< the file's own cell, frames only
  Timeline timeline_;
  GapPlot plot_;
  std::vector<Gathered> groups_;
  Playhead playhead_;
  Moment moment_;
  std::optional<std::size_t> chosen_, chosen_finding_;
  std::optional<ClearanceFigure> marked_;
  std::vector<BodyId> troubled_;
  std::optional<GapNow> gap_;
  std::optional<CameraInset> inset_;
  std::set<std::string> hidden_;
  Ruler ruler_;
  LengthUnit unit_ = LengthUnit::mm;
  CameraId camera_;
  std::string mover_, proved_mover_;
  Placement placement_, proved_placement_;
  std::string trouble_;
  std::optional<Watch> watch_;
  double clock_s_ = 0, looked_s_ = 0;
  unsigned cell_number_ = 0, proof_number_ = 0, moment_number_ = 0, gap_number_ = 0, inset_number_ = 0,
           look_number_ = 0;
  unsigned gap_asked_ = 0, inset_asked_ = 0;
  double inset_asked_s_ = -1;

  struct GapAnswer {
    unsigned cell_number = 0;
    GapNow gap;
  };
  struct InsetAnswer {
    unsigned cell_number = 0;
    CameraInset inset;
  };
  Background<GapAnswer> gap_work_;
  Background<InsetAnswer> inset_work_;
  Prover prover_;
};

}  // namespace cellproof
