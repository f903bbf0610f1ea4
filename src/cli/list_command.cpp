// SPDX-License-Identifier: Apache-2.0
#include <fmt/format.h>
#include <cabinload/unit/unit.hpp>
#include <cabinload/vehicle/catalogue.hpp>
#include <cabinload/weather/climates.hpp>
#include <cabinload/weather/typed_day.hpp>
#include <memory>

#include "command.hpp"

namespace cabinload::cli {
namespace {

const Help kHelp = {
    "The names that options and scenario files take, each with its figures and, in "
    "brackets, where they come from. Vehicles: inside dimensions and the height over all."
    " Paints: share of the sun taken up. Units: cooling at their rating point. Exit status 0.",
    "Anything of a particular maker: bodies and units are invented and generic. Describe "
    "your own in a scenario (`cabinload new`).",
    {"cabinload list vehicles", "cabinload list units --units us"}};

std::string line(const std::string& key, const std::string& text) {
  return report::wrapped(fmt::format("  {:<20} {}", key, text), 80, 23);
}

std::string list_of(const std::string& what, core::UnitSystem system) {
  using core::format_quantity, core::Quantity;
  std::string out;
  if (what == "vehicles")
    for (const auto& b : vehicle::bodies())
      out +=
          line(b.key, fmt::format("{}; inside {} x {} x {}, overall height {} ({})", b.about,
                                  format_quantity(b.length_m, Quantity::length, system, 2),
                                  format_quantity(b.width_m, Quantity::length, system, 2),
                                  format_quantity(b.height_m, Quantity::length, system, 2),
                                  format_quantity(b.overall_height_m, Quantity::length, system, 2),
                                  b.source));
  if (what == "insulation")
    for (const auto& i : vehicle::insulations())
      out += line(i.key, fmt::format("{} ({})", i.about, i.source));
  if (what == "paints")
    for (const auto& p : vehicle::paints())
      out += line(p.key, fmt::format("absorbs {:.0f} % of the sun, emittance {:.2f} ({})",
                                     100 * p.absorptance_1, p.emittance_1, p.source));
  if (what == "glazing")
    for (const auto& g : vehicle::glazings())
      out += line(
          g.key, fmt::format("{}; U {}, lets in {:.0f} % of the sun, absorbs {:.0f} % ({})",
                             g.about, format_quantity(g.U_W_m2K, Quantity::conductance, system, 1),
                             100 * g.solar_transmittance_1, 100 * g.solar_absorptance_1, g.source));
  if (what == "covers")
    for (const auto& c : vehicle::covers())
      out += line(
          c.key, fmt::format("{}; lets through {:.0f} %, reflects {:.0f} % ({})",
                             c.side == vehicle::CoverSide::inside    ? "inside"
                             : c.side == vehicle::CoverSide::outside ? "outside"
                                                                     : "-",
                             100 * c.solar_transmittance_1, 100 * c.solar_reflectance_1, c.source));
  if (what == "materials")
    for (const auto& m : vehicle::materials())
      out += line(m.key, fmt::format("{:g} W/(m K), {:g} kg/m³, {:g} J/(kg K) ({})", m.k_W_mK,
                                     m.rho_kg_m3, m.c_J_kgK, m.source));
  if (what == "units")
    for (const auto& u : unit::built_in())
      out += line(u.key, fmt::format("{}; {} from {:.0f} W at {:g} V ({})", u.about,
                                     format_quantity(u.capacity_W, Quantity::power, system, 0),
                                     u.power_W, u.volts, u.source));
  if (what == "uncertainty")
    for (const auto& u : scenario::unknowns()) {
      const auto i = static_cast<std::size_t>(&u - scenario::unknowns().data());
      out += line(u.key, fmt::format("{}: {} {} ({})", u.about, u.times ? "times" : "plus",
                                     scenario::text_of({i, u.low, u.high}), u.source));
    }
  if (what == "climates") {
    for (const auto& y : weather::shipped_years())
      out += line(y.key, fmt::format("{}, {}: typical year, file {}", y.place, y.climate, y.file));
    for (const auto& d : weather::extreme_days())
      out += line(d.key, fmt::format("{} ({})", d.about, d.source));
  }
  return out;
}

struct ListOptions {
  std::string what;
  OutputOptions output;
};

}  // namespace

void add_list(CLI::App& app, Context& context) {
  static const std::vector<std::string> kinds = {"vehicles", "insulation", "paints",
                                                 "glazing",  "covers",     "materials",
                                                 "units",    "climates",   "uncertainty"};
  auto options = std::make_shared<ListOptions>();
  CLI::App* command = app.add_subcommand("list", "What is built in: vehicles, units, climates ...");
  command->add_option("WHAT", options->what,
                      fmt::format("{}; everything without", fmt::join(kinds, ", ")));
  add_units(*command, options->output);
  add_help(*command, kHelp);
  command->callback([&context, options] {
    const auto system = options->output.units == "us" ? core::UnitSystem::us : core::UnitSystem::si;
    if (options->what.empty()) {
      for (const std::string& kind : kinds)
        context.out += kind + "\n" + list_of(kind, system) + "\n";
      return;
    }
    context.out = list_of(options->what, system);
    if (!context.out.empty()) return;
    const auto [what, hint] = core::unknown_name(options->what, kinds);
    refuse_option("list", what, hint);
  });
}

}  // namespace cabinload::cli
