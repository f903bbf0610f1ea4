// SPDX-License-Identifier: Apache-2.0
#include <cabinload/study/cases.hpp>

#include <fmt/format.h>
#include <algorithm>
#include <cabinload/core/constants.hpp>
#include <cabinload/core/error.hpp>
#include <cmath>
#include <limits>

#include "on_threads.hpp"

namespace cabinload::study {
namespace {

using answers::Hold;
constexpr double kNaN = std::numeric_limits<double>::quiet_NaN();

/// Weather series that are kept; 1 MB each.
constexpr std::size_t kMostSeries = 16;
/// Cases that are run side by side: so many for each of several threads, that these seldom wait for
/// each other. Their nights are kept at the same time, 0.3 MB each for a year.
constexpr std::size_t kOfThread = 32, kMost = 256;
/// Longest reason that is kept, in bytes.
constexpr std::size_t kLongestReason = 400;

const answers::HoldNight* hardest(const Hold& h) {
  return h.worst_night ? &h.each_night[*h.worst_night] : nullptr;
}

/// What tells one weather from another.
std::string weather_key(const scenario::Scenario& s) {
  std::string key;
  for (const scenario::Entry& e : s.entries)
    if (e.key.starts_with("weather.")) key += e.value + '\n';
  return key;
}

/// One line, not too long.
std::string reason(std::string text) {
  std::replace(text.begin(), text.end(), '\n', ' ');
  while (!text.empty() && text.back() == ' ') text.pop_back();
  if (text.size() > kLongestReason) {
    std::size_t end = kLongestReason;
    while ((static_cast<unsigned char>(text[end]) & 0xC0U) == 0x80) --end;  // not within a letter
    text.resize(end);
  }
  return text.empty() ? "unknown" : text;
}

CaseAnswer failed(const std::exception& e) {
  CaseAnswer answer;
  answer.values.fill(kNaN);
  answer.failed = reason(e.what());
  return answer;
}

}  // namespace

const std::array<AnswerColumn, kAnswers>& answer_columns() {
  static const std::array<AnswerColumn, kAnswers> columns = {{
      {"nights", "1", "nights of the period", [](const Hold& h) { return h.in_period * 1.0; }},
      {"nights_needing_cooling", "1", "nights that need cooling",
       [](const Hold& h) { return h.needing_cooling * 1.0; }},
      {"nights_held", "1", "of those, held", [](const Hold& h) { return h.held * 1.0; }},
      {"share_held", "1", "nights held over nights that need cooling; NaN: none does",
       [](const Hold& h) {
         return h.needing_cooling > 0 ? h.held * 1.0 / h.needing_cooling : kNaN;
       }},
      {"time_above", "h", "bed above the limit, all nights",
       [](const Hold& h) {
         double minutes = 0;
         for (const auto& n : h.each_night) minutes += n.minutes_above;
         return minutes / 60;
       }},
      {"bed_peak", "degC", "bed at its hottest in the hardest night; NaN: none needs cooling",
       [](const Hold& h) {
         return hardest(h) != nullptr ? core::to_celsius(hardest(h)->bed_peak_K) : kNaN;
       }},
      {"bed_peak_unit_off", "degC", "the same with the unit off",
       [](const Hold& h) {
         return hardest(h) != nullptr ? core::to_celsius(hardest(h)->bed_peak_unit_off_K) : kNaN;
       }},
      {"unit_energy", "W h", "electricity a night, median of those that need cooling; NaN: none",
       [](const Hold& h) { return h.electric_Wh.median; }},
      {"unit_energy_worst", "W h", "the same, the highest",
       [](const Hold& h) { return h.electric_Wh.worst; }},
      {"battery_at_dawn", "1", "charge, lowest of those nights; NaN: none",
       [](const Hold& h) { return h.battery_at_dawn_1.worst; }},
      {"condensate", "L", "water from the coil a night, median; NaN: none",
       [](const Hold& h) { return h.condensate_L_median; }},
  }};
  return columns;
}

CaseRunner::CaseRunner(const Plan& plan, Weather weather, unsigned threads)
    : plan_(plan), weather_(std::move(weather)), threads_(threads), variants_(threads) {}

/// The case as a variant, added to those made; or why it fails already.
void CaseRunner::make(std::uint64_t index, CaseAnswer& answer, std::vector<Made>& made) {
  try {
    auto s = std::make_shared<const scenario::Scenario>(plan_.scenario_of(plan_.values(index)));
    const std::string key = weather_key(*s);
    if (!series_.contains(key)) {
      auto series = weather_(*s);
      if (series_.size() >= kMostSeries) series_.clear();
      series_[key] = std::move(series);
    }
    const bool drawn = std::any_of(plan_.inputs.begin(), plan_.inputs.end(),
                                   [](const Input& i) { return i.unknown.has_value(); });
    const std::string label = fmt::format("case {}", index);
    made.push_back({index, {label, s, series_.at(key), drawn ? label : "", {}, {}, false}});
  } catch (const core::Error& e) {
    answer = failed(e);
  }
}

void CaseRunner::answer(std::span<const Made> made, std::uint64_t first,
                        std::vector<CaseAnswer>& out,
                        const std::function<void(double cases_done)>& progress) {
  std::vector<Variant> list;
  for (const Made& m : made) list.push_back(m.variant);
  const std::vector<Outcome> outcomes = variants_.run(list, [&](std::size_t done, std::size_t of) {
    if (progress) progress(static_cast<double>(done * list.size()) / static_cast<double>(of));
  });
  for (std::size_t i = 0; i < made.size(); ++i) {
    const Hold hold =
        answers::hold(outcomes[i].on, *outcomes[i].off, *list[i].scenario, *list[i].weather);
    CaseAnswer& answer = out[made[i].index - first];
    for (std::size_t a = 0; a < kAnswers; ++a) answer.values[a] = answer_columns()[a].of(hold);
  }
}

std::size_t CaseRunner::side_by_side() const {
  const unsigned threads = threads_or_cores(threads_);
  return threads == 1 ? 1 : std::min(kOfThread * threads, kMost);
}

std::vector<CaseAnswer> CaseRunner::run(std::uint64_t first, std::size_t count,
                                        const std::function<void(double cases_done)>& progress) {
  std::vector<CaseAnswer> out(count);
  for (std::size_t from = 0; from < count; from += kMost) {
    const std::size_t to = std::min(count, from + kMost);
    std::vector<Made> made;
    for (std::size_t i = from; i < to; ++i) make(first + i, out[i], made);
    const auto tick = [&](double cases_done) {
      if (progress) progress(static_cast<double>(from) + cases_done);
    };
    try {
      answer(made, first, out, tick);
    } catch (const core::Error&) {
      // One of them failed: each alone, so that the others go on.
      for (const Made& m : made) try {
          answer({&m, 1}, first, out, tick);
        } catch (const core::Error& e) {
          out[m.index - first] = failed(e);
        }
    }
    tick(static_cast<double>(to - from));
  }
  variants_.forget_unit_off();
  return out;
}

}  // namespace cabinload::study
