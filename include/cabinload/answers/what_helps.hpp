// SPDX-License-Identifier: Apache-2.0
#pragma once
#include <cabinload/answers/common.hpp>
#include <cabinload/answers/hold.hpp>
#include <cabinload/answers/pets.hpp>
#include <cabinload/scenario/scenario.hpp>
#include <cabinload/simulation/demand.hpp>
#include <cabinload/weather/series.hpp>
#include <map>
#include <optional>
#include <string>
#include <variant>
#include <vector>

namespace cabinload::answers {

/// What a scenario would have to be for an improvement.
struct Change {
  std::string label;  ///< of one way among several: "nose to E"; "" for the only one
  std::vector<scenario::Override> overrides;
  double unit_factor_1 = 1;                         ///< the unit in this size of itself
  std::map<vehicle::Part, std::string> insulation;  ///< levels of these parts alone
};

/// "roof good": the parts that have a level of their own; "" for none.
[[nodiscard]] std::string insulation_text(const Change& change);

/// One thing that may help. `plan` gives the ways to have it, or in words why there is nothing to
/// change: it is so already, or cannot be.
struct Improvement {
  const char* key;
  const char* words;
  const char* source;  ///< of the values it sets
  std::variant<std::vector<Change>, std::string> (*plan)(const scenario::Scenario& now);
};
/// All of them, in the order in which they are run.
[[nodiscard]] const std::vector<Improvement>& improvements();

/// The scenario of a change, read with what the user gave.
/// @throws core::InputError  the change and what the user gave do not go together
[[nodiscard]] scenario::Scenario changed(const std::string& file,
                                         const std::vector<scenario::Override>& given,
                                         const Change& change);
/// Both at once. @pre !share_a_key(a, b)
[[nodiscard]] Change together(const Change& a, const Change& b);
/// Whether they set the same thing, so that only one of them can be had.
[[nodiscard]] bool share_a_key(const Change& a, const Change& b);

/// What is compared: nights won, electricity a night, the highest hour of the demand, minutes from
/// a failure of the cooling to an animal's limit.
enum class HelpBy { nights, energy, peak, minutes };
/// @throws core::RangeError  an unknown word
[[nodiscard]] HelpBy help_by(const std::string& word);
/// The word: "nights".
[[nodiscard]] const char* help_key(HelpBy by);

/// What a vehicle gives, in figures that can be compared across changes.
struct HelpFigures {
  int needing_cooling = 0;
  int lost = 0;            ///< nights above the limit
  double electric_Wh = 0;  ///< mean over the nights that need cooling as the vehicle stands
  double peak_W = 0;       ///< highest hour of the demand; NaN when it has none
  /// Fewest in the days around the hottest now; at most MinutesRule::longest_min.
  double minutes = 0;
};
/// @param counted  nights that need cooling as the vehicle stands
[[nodiscard]] HelpFigures help_figures(const Hold& hold, const std::vector<bool>& counted,
                                       const simulation::Demand& demand);
/// Good is above 0: nights won, Wh a night saved, W of peak taken away, minutes won.
[[nodiscard]] double effect(const HelpFigures& now, const HelpFigures& then, HelpBy by);

/// One improvement of the table: what it gave, or why it was not run.
struct HelpRow {
  std::string key, words, source;
  std::string skipped;  ///< why it was not run; "" when it was
  std::string label;    ///< the way that helps most, among several
  std::vector<scenario::Override> overrides;
  Change change;  ///< the same, for pairs
  HelpFigures then;
  std::optional<double> cost;  ///< as the user gave it
  /// Its effect on the vans drawn, each with and without it.
  struct Drawn {
    Likely nights, electric_Wh;  ///< won, saved
  };
  std::optional<Drawn> drawn;
};

/// Two improvements at once.
struct HelpPair {
  std::string a, b;                           ///< keys
  double alone_a = 0, alone_b = 0, both = 0;  ///< effects
  /// Both at once give the sum, more than it, less, or all that there is to win.
  enum class Verdict { add_up, help, cancel, nothing_left } verdict = Verdict::add_up;
};
/// @param most  the largest effect there can be (all nights lost now); infinity for none
[[nodiscard]] HelpPair::Verdict judge_pair(double alone_a, double alone_b, double both, HelpBy by,
                                           double most);

/// The answer to `what-helps`.
struct Helps {
  Header header;
  HelpBy by = HelpBy::nights;
  double T_limit_K = 0;
  int in_period = 0;
  MinutesRule to;
  HelpFigures now;
  int samples = 0;            ///< vans drawn
  std::vector<HelpRow> rows;  ///< what was run first, best first; then what was skipped
  std::vector<HelpPair> pairs;
  std::optional<core::Date> peak_date;  ///< about which the demand's peak is looked for
  double residual_relative = 0;
};
/// Best first; at equal effect the one that saves more electricity, then as in the table; what was
/// skipped last.
void rank(Helps& answer);
/// The best few that help and can be had together, as indices of rows.
[[nodiscard]] std::vector<std::size_t> best_together(const Helps& answer, std::size_t most = 3);

}  // namespace cabinload::answers
