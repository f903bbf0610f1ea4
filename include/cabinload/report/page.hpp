// SPDX-License-Identifier: Apache-2.0
#pragma once
#include <cabinload/answers/hold.hpp>
#include <cabinload/answers/pets.hpp>
#include <cabinload/answers/roof.hpp>
#include <cabinload/answers/what_helps.hpp>
#include <cabinload/answers/wire.hpp>
#include <cabinload/core/units.hpp>
#include <cabinload/scenario/scenario.hpp>
#include <cabinload/simulation/trace.hpp>
#include <optional>
#include <string>
#include <vector>

/// One HTML file for the customer: no network, both unit systems, light and dark, printable.
namespace cabinload::report {

/// An hour of the night that is shown; means but for the charge, which is at its end.
struct PageHour {
  double second_of_day = 0;  ///< of its start
  double T_out_K = 0, T_air_K = 0, T_bed_K = 0;
  double unit_W = 0, other_W = 0, solar_W = 0, alternator_W = 0, shore_W = 0;
  double charge_1 = 0;
};

/// The 24 hours of a night, from noon to noon; fewer where the run has fewer.
/// @param night  its place in the period, from 0
[[nodiscard]] std::vector<PageHour> hours_of_night(const simulation::Hourly& hourly,
                                                   std::size_t night,
                                                   const scenario::Night& settings);
/// The night that is shown hour by hour: the hardest; where none needs cooling, the one that would
/// be warmest with the unit off. @pre the answer has nights
[[nodiscard]] std::size_t shown_night(const answers::Hold& answer);

/// An answer beside the nights, or why there is none.
template <class Answer>
struct PagePart {
  std::optional<Answer> answer;
  std::string problem;  ///< told in its place; "" with an answer, or where nobody asked
};

/// What a page is made of. What is not there is left out, and said so.
struct Page {
  answers::Hold hold;  ///< with the flows of its hardest night, where they are known
  std::vector<PageHour> night;
  PagePart<answers::Helps> helps;  ///< of the nights around the hardest
  PagePart<answers::Wire> wire;
  PagePart<answers::Roof> roof;
  PagePart<answers::Pets> pets;
  scenario::Scenario scenario;
  core::UnitSystem units = core::UnitSystem::si;  ///< shown first
  std::string command_line, created_utc;
  std::string result_file;            ///< "" when it was computed for the page
  std::vector<std::string> left_out;  ///< what a result file does not hold, in words
};

/// A complete document in UTF-8. Every text of a scenario is escaped.
[[nodiscard]] std::string html(const Page& page);

}  // namespace cabinload::report
