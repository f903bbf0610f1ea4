// SPDX-License-Identifier: Apache-2.0
#include <fmt/format.h>
#include <algorithm>
#include <cabinload/core/constants.hpp>
#include <cmath>

#include "sentences.hpp"
#include "text.hpp"

namespace cabinload::report {
namespace {

using answers::Ledger;
using answers::LedgerAccount;

std::string account_table(const LedgerAccount& account, const Style& style) {
  std::string out = fmt::format("  {}{}{}\n", padded(account.words, 38),
                                padded("comes in", 14, true), padded("goes out", 14, true));
  for (const LedgerLine& l : ledger_lines(account, style))
    out += fmt::format("    {}{}{}\n", padded(l.words, 36), padded(l.in, 14, true),
                       l.out.empty() ? "" : padded(l.out, 14, true));
  return out;
}

/// "22:00 to 07:00"; a few minutes are counted.
std::string stretch_words(const Ledger& l) {
  constexpr double kFew_s = 600;
  const double long_s = l.hours * core::kSecondsInHour, end_s = l.second_of_day + long_s;
  const std::string from = core::clock_text(l.second_of_day);
  if (long_s > kFew_s)
    return from + " to " + core::clock_text(std::fmod(end_s, core::kSecondsInDay));
  return long_s < 60 ? fmt::format("{}, for {:.0f} s", from, long_s)
                     : fmt::format("{}, for {:.1f} min", from, long_s / 60);
}

std::string ledger_text(const Ledger& l, const Style& style) {
  std::string out = "\n" + wrapped(ledger_when(l), kWidth, 2);
  out += wrapped(ledger_means(l, style), kWidth, 2);
  for (const LedgerAccount& a : l.accounts) out += account_table(a, style);
  if (l.latent_W > 0.5)
    out += wrapped(
        fmt::format(
            "  Beside that the coil takes {} as moisture: the air gets drier by it, not cooler.",
            power(l.latent_W, style)),
        kWidth, 4);
  if (l.latent_W < -0.5)
    out += wrapped(
        fmt::format("  Beside that water drying off the coil gives back {} as moisture: the air "
                    "gets damper by it, not warmer.",
                    power(-l.latent_W, style)),
        kWidth, 4);
  return out;
}

}  // namespace

std::vector<LedgerLine> ledger_lines(const LedgerAccount& account, const Style& style) {
  // Electricity is counted in watts everywhere.
  const bool us = style.units == core::UnitSystem::us && account.key != "electricity";
  const double unit_W = us ? core::parse_quantity("1 BTU/h", core::Quantity::power) : 1.0;
  const char* unit = us ? "BTU/h" : "W";
  const auto total = std::lround(account.in_W() / unit_W);
  std::vector<double> in, out;
  for (const auto& r : account.rows) (r.W > 0 ? in : out).push_back(std::abs(r.W) / unit_W);
  const std::vector<long> whole_in = adding_up(in, total), whole_out = adding_up(out, total);
  const auto shown = [&](long n) { return fmt::format("{} {}", n, unit); };
  std::vector<LedgerLine> lines;
  std::size_t i = 0, o = 0;
  for (const auto& r : account.rows) {
    const long n = r.W > 0 ? whole_in[i++] : whole_out[o++];
    if (n == 0) continue;  // nothing is lost by leaving it out
    lines.push_back(r.W > 0 ? LedgerLine{r.words, shown(n), ""}
                            : LedgerLine{r.words, "", shown(n)});
  }
  lines.push_back({"together", shown(total), shown(total)});
  return lines;
}

std::string ledger_when(const Ledger& l) {
  return fmt::format("{}: {}, {}.", l.title, core::long_text(l.date), stretch_words(l));
}

std::string ledger_means(const Ledger& l, const Style& style) {
  return fmt::format("Means over it; outdoors {}, in the cabin {}.", degrees(l.T_out_K, style),
                     degrees(l.T_air_K, style));
}

std::string flows_text(const answers::Header& header, const Style& style) {
  if (header.flows.empty()) return "";
  std::string out = "\nWhere the figures come from\n";
  out += wrapped(
      "What comes in goes out, or is soaked up and given back later: each table adds up. Figures "
      "are rounded so that they do so as printed.",
      kWidth, 0);
  for (const Ledger& l : header.flows) out += ledger_text(l, style);
  return out;
}

}  // namespace cabinload::report
