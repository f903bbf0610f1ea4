// SPDX-License-Identifier: Apache-2.0
#include "pets_store.hpp"

#include <cabinload/answers/pets.hpp>
#include <cmath>
#include <limits>
#include <string>

namespace cabinload::store {

void write_failures(H5::Group& root, const PetsResult& r, const std::vector<double>& hours,
                    const char* time_units) {
  H5::Group g = root.createGroup("failures");
  const H5::DataSet time =
      put_axis(g,
               {"time", time_units, "instant of the failure, local standard time of a nominal year",
                Precision::full},
               hours);
  put_column(g, {"T_air", "K", "cabin air at the instant, the unit running"}, r.runs.T_air_K, time);
  put_column(g, {"T_out", "K", "outdoor air at the instant"}, r.runs.T_out_K, time);
  const auto put = [&](const std::string& name, const std::string& words,
                       const std::vector<double>& minutes) {
    std::vector<double> shown = minutes;  // HDF5 readers know NaN as missing
    for (double& m : shown)
      if (m == simulation::kNever_min) m = std::numeric_limits<double>::quiet_NaN();
    const std::string about =
        words + "; NaN: not within " + std::to_string(std::lround(r.answer.longest_min)) + " min";
    put_column(g, {name.c_str(), "min", about.c_str(), Precision::full, true}, shown, time);
  };
  for (std::size_t k = 0; k < simulation::kFailures; ++k) {
    const auto failure = static_cast<simulation::Failure>(k);
    put(answers::failure_key(failure),
        std::string("minutes to the limit when ") + answers::failure_words(failure),
        r.runs.minutes[k]);
  }
  put("alarm", "minutes from a fault of the unit to the alarm", r.runs.alarm_min);
  put("second_fan", "minutes to the limit after a fault of the unit, with a second fan",
      r.runs.second_fan_min);
  put("opening", "the same with a roof opening", r.runs.opening_min);
  put_text(g, "limit_source", r.answer.limit.source);
  H5::Group balance = root.createGroup("balance");
  put_number(balance, "heat_residual_relative", r.runs.heat_residual_relative);
  put_number(balance, "moisture_residual_relative", r.runs.moisture_residual_relative);
}

}  // namespace cabinload::store
