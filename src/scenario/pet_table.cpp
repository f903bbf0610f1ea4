// SPDX-License-Identifier: Apache-2.0
#include <fmt/format.h>
#include <cabinload/core/constants.hpp>
#include <cabinload/occupants/animal_limits.hpp>

#include "tables.hpp"

namespace cabinload::scenario {

/// What decides an animal's limit; `cabinload pets` reads it.
void bind_animal(Binder& b, const std::string& key, occupants::Pet& p) {
  using occupants::Age, occupants::Nose;
  std::string nose = "long", age = "adult";
  b.choice(key + "nose", nose, {"long", "short"},
           {"short: flat-faced breeds of dogs and cats; they shed heat badly", ""});
  b.choice(key + "age", age, {"young", "adult", "old"},
           {"young and old ones have a lower limit", ""});
  b.flag(key + "overweight", p.overweight, {"it has a lower limit", ""});
  b.flag(key + "acclimated", p.acclimated,
         {"used to the cold: its cold line is 7.2 degC, else 10 degC", "9 CFR 3.3(a)"});
  p.nose = nose == "short" ? Nose::short_nosed : Nose::long_nosed;
  p.age = age == "young" ? Age::young : age == "old" ? Age::old : Age::adult;
  b.maybe(
      key + "limit", core::Quantity::temperature, "degC", p.T_limit_K,
      {core::to_kelvin(5), core::to_kelvin(45)}, "by kind",
      {"its own limit, from a veterinarian; only below the published one", "9 CFR 3, 50 CFR 14"});
  if (!p.T_limit_K) return;
  occupants::Pet published = p;
  published.T_limit_K.reset();
  const occupants::AnimalLimit l = occupants::limit_of(published);
  if (*p.T_limit_K > l.T_most_K + 1e-9)
    b.problem(key + "limit",
              fmt::format("{} is above the published line of {} for this animal",
                          written(*p.T_limit_K, core::Quantity::temperature, "degC"),
                          written(l.T_most_K, core::Quantity::temperature, "degC")),
              "a limit of one's own may only be lower");
}

}  // namespace cabinload::scenario
