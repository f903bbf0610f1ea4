// SPDX-License-Identifier: Apache-2.0
#include <cabinload/report/night_mark.hpp>

namespace cabinload::report {

NightMark mark_of(const answers::HoldNight& n, double T_limit_K, double cut_off_1) {
  if (!n.needs_cooling) return NightMark::quiet;
  if (!n.held) return NightMark::lost;
  const bool close = n.bed_peak_K > T_limit_K - kCloseToLimit_K ||
                     n.battery_at_dawn_1 < cut_off_1 + kCloseToCutOff_1;
  return close ? NightMark::close : NightMark::held;
}

const char* mark_word(NightMark mark) {
  switch (mark) {
    case NightMark::held:
      return "held";
    case NightMark::close:
      return "close";
    case NightMark::lost:
      return "lost";
    case NightMark::quiet:
      break;
  }
  return "no cooling needed";
}

}  // namespace cabinload::report
