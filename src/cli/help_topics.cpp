// SPDX-License-Identifier: Apache-2.0
#include "help_topics.hpp"

#include <fmt/format.h>
#include <cabinload/air/comfort.hpp>
#include <cabinload/core/constants.hpp>
#include <cabinload/core/units.hpp>
#include <cabinload/occupants/animal_limits.hpp>
#include <cabinload/unit/machine.hpp>
#include <cabinload/weather/climates.hpp>
#include <cabinload/weather/typed_day.hpp>

#include "command.hpp"

namespace cabinload::cli {
namespace {

using core::format_quantity, core::Quantity, core::UnitSystem;

std::string paragraph(const std::string& text) {
  return report::wrapped(text, 80, 0) + "\n";
}
/// "25.0 °C (77.0 °F)".
std::string both(double value_SI, Quantity kind, int decimals) {
  return fmt::format("{} ({})", format_quantity(value_SI, kind, UnitSystem::si, decimals),
                     format_quantity(value_SI, kind, UnitSystem::us, decimals));
}
std::string temperature(double T_K) {
  return both(T_K, Quantity::temperature, 1);
}
scenario::Scenario with(const char* key, const std::string& value) {
  return scenario::read("", {{key, value, "help"}});
}

std::string night() {
  const scenario::Scenario s = scenario::read("", {});
  return paragraph(fmt::format(
             "A night runs through the sleep window, {} to {} unless night.sleep says otherwise, "
             "in local standard time: in summer a clock on daylight saving shows an hour more. It "
             "belongs to the date of its evening: 14 July ends on the morning of the 15th.",
             core::clock_text(s.night.sleep_start_s), core::clock_text(s.night.sleep_end_s))) +
         paragraph(fmt::format(
             "It is held when the air at the bed stays at or below the limit (help limit), apart "
             "from the first {:.0f} min, which the unit may need to pull the cabin down "
             "(night.pull_down_allowance), and when the battery serves the other loads "
             "(refrigerator, "
             "fan, lights) through the window: where they go dark the night is lost, however cool "
             "the bed.",
             s.night.pull_down_allowance_s / 60)) +
         paragraph(
             "It needs cooling when it would not be held with the unit off and the vehicle left "
             "as it is. Only those nights are counted: many easy nights make no unit good.") +
         "A lost night says why:\n"
         "  unit too small       it ran at its limit, and that was not enough\n"
         "  battery empty        it stood still from some hour on\n"
         "  supply limit         cable, converter or battery gave less than it asked for\n"
         "  cut out, too hot     the air at its condenser was above what it bears\n"
         "  cooled too late      it got there, but after the allowance\n"
         "  not asked to         it was switched off, or its set point is too high\n"
         "  other loads dark     the bed stayed cool, but the supply did not feed them\n\n"
         "  cabinload hold --from 07-01 --to 07-31\n"
         "  cabinload hold --why=07-16             what came in and went out that night\n";
}

std::string limit() {
  const scenario::Scenario s = scenario::read("", {});
  std::string source;
  for (const scenario::Entry& e : s.entries)
    if (e.key == "night.limit") source = e.source;
  std::string out =
      paragraph(fmt::format("The limit is the hottest that the air at the bed may become while "
                            "people sleep: {} unless --limit says otherwise ({}). It is a "
                            "question of comfort and of the sleeper, not a line of health; an "
                            "animal has lines of its own (help pets).",
                            temperature(s.night.T_limit_K), source)) +
      paragraph(fmt::format("The set point, {}, is what the unit's own sensor holds. It has to be "
                            "below the limit: the thermostat swings by {:.0f} K, and the bed may "
                            "be warmer than the sensor (air.bed_offset, air.return_offset).",
                            temperature(s.unit_settings.T_set_K), s.unit_settings.differential_K)) +
      paragraph(
          "Air temperature is not all of it. The operative temperature also counts walls and roof "
          "that radiate; hold prints it. Humid air feels warmer: the heat index (US National "
          "Weather Service) says by how much. Its chart calls it 'extreme caution' from " +
          temperature(air::heat_band_from_K(air::HeatBand::extreme_caution)) +
          ", where heat stroke is possible, and 'danger' from " +
          temperature(air::heat_band_from_K(air::HeatBand::danger)) +
          ": hold warns of nights that come there.") +
      "Heat index of air at     40 %       60 %       80 % humidity\n";
  for (const double T_degC : {25.0, 28.0, 31.0}) {
    const double T_K = core::to_kelvin(T_degC);
    out += fmt::format("  {:<20}", temperature(T_K));
    for (const double humidity_1 : {0.4, 0.6, 0.8})
      out += fmt::format("{:>6}    ", format_quantity(air::heat_index_K(T_K, humidity_1),
                                                      Quantity::temperature, UnitSystem::si, 1));
    out.erase(out.find_last_not_of(' ') + 1);
    out += "\n";
  }
  return out +
         "\n  cabinload hold --limit \"26 degC\"\n"
         "  cabinload what-helps                   how many nights one kelvin more wins\n";
}

std::string capacity() {
  const unit::Description u = scenario::read("", {}).unit;
  unit::Settings settings;
  settings.T_set_K = u.rated_dry_bulb_K;
  const unit::Machine machine(u, settings);
  std::string out =
      paragraph(
          "A data plate tells the cooling at a rating point. On a roof the condenser "
          "breathes warmer air: over sunlit metal, and some of its own again. Then the unit "
          "has less cooling and draws more.") +
      fmt::format("{}, cabin {} with {} wet bulb\n  condenser air            cooling\n", u.key,
                  format_quantity(u.rated_dry_bulb_K, Quantity::temperature, UnitSystem::si, 1),
                  format_quantity(u.rated_wet_bulb_K, Quantity::temperature, UnitSystem::si, 1));
  for (const double T_degC : {25.0, 35.0, 45.0, 55.0}) {
    const unit::Output at =
        machine.characteristics().map.at(u.rated_wet_bulb_K, core::to_kelvin(T_degC), 1);
    out += fmt::format("  {:<20}{:>26}   from {:.0f} W\n",
                       both(core::to_kelvin(T_degC), Quantity::temperature, 0),
                       both(at.total_W - u.cabin_fan_W, Quantity::power, 0),
                       at.power_W + u.cabin_fan_W + u.standby_W);
  }
  return out + "\n" +
         paragraph(fmt::format("Rated with {} at the condenser; it stops above {} (an invented "
                               "unit, of no maker).",
                               temperature(u.rated_condenser_K),
                               temperature(u.condenser_cut_out_K))) +
         paragraph(
             "Part of the cooling dries the air instead of cooling it: the latent part. A unit "
             "larger than needed stops and starts, dries less and asks more of the battery.") +
         "  cabinload load                         what has to be cooled away\n"
         "  cabinload size                         which capacity holds which nights\n"
         "  cabinload show unit generic-2000-24v   its whole table\n";
}

std::string shade() {
  std::string out =
      paragraph(
          "Sun on roof and glass is the largest load of an afternoon, and the shell gives "
          "it back until late: parking in shade from noon on cools the first hours of the "
          "night. What comes through while the shade stands (engineering judgement):") +
      "  parking.shade   direct sun   sky light   cold night sky seen\n";
  for (const char* key : {"none", "tree", "carport", "cloth", "building"}) {
    const scenario::Scenario s = with("parking.shade", key);
    out +=
        fmt::format("  {:<14}{:>10.0f} %{:>10.0f} %{:>14.0f} %\n", key, 100 * s.site.shade_beam_1,
                    100 * s.site.shade_diffuse_1, 100 * s.site.shade_sky_view_1);
  }
  out += "\n" + paragraph(
                    "A roof above also hides the cold night sky, so shade by day alone is better: "
                    "parking.shade_hours = \"12:00-20:00\". Panels on the roof lose their sun with "
                    "it. Covers "
                    "are shade for the glass; outside ones keep the heat out before it is in.");
  out += "  cover                  side      lets through   reflects\n";
  for (const vehicle::CoverType& c : vehicle::covers())
    if (c.side != vehicle::CoverSide::none)
      out += fmt::format("  {:<21}  {:<8}{:>12.0f} %{:>9.0f} %\n", c.key,
                         c.side == vehicle::CoverSide::inside ? "inside" : "outside",
                         100 * c.solar_transmittance_1, 100 * c.solar_reflectance_1);
  return out +
         "\n  cabinload hold --set parking.shade=tree --set parking.shade_hours=12:00-20:00\n"
         "  cabinload what-helps --by nights\n";
}

std::string insulation() {
  std::string out =
      paragraph(
          "Insulation keeps the sun's heat in the metal and slows what comes through. It "
          "helps most where cooling is already enough for part of the night; ribs that are "
          "left bare carry past it much of what it keeps. medium-van, air to air:") +
      "  level        roof W/(m² K)   all faces W/K\n";
  for (const vehicle::Insulation& level : vehicle::insulations()) {
    vehicle::Choice choice;
    choice.insulation = level.key;
    double roof_W_m2K = 0, roof_m2 = 0, all_W_K = 0;
    for (const vehicle::Surface& face : vehicle::make(choice).surfaces) {
      const double U_W_m2K = face_U_W_m2K(face);
      if (face.part == vehicle::Part::roof && face.area_m2 > roof_m2) {  // not the cab's
        roof_m2 = face.area_m2;
        roof_W_m2K = U_W_m2K;
      }
      all_W_K += U_W_m2K * face.area_m2;
    }
    out += fmt::format("  {:<12}{:>14.2f}{:>16.0f}\n", level.key, roof_W_m2K, all_W_K);
  }
  out += "\n";
  for (const vehicle::Insulation& level : vehicle::insulations())
    out += report::wrapped(fmt::format("  {:<11}{}", level.key, level.about), 80, 13);
  return out + "\n" +
         paragraph(
             "How it is built counts more than the label: gaps, wet foam and bare ribs are "
             "found behind the lining, at a lamp hole or the roof vent. With the sun gone "
             "an insulated cabin also keeps the day's heat in: a vent fan in a cool night "
             "may do more.") +
         "  cabinload what-helps\n"
         "  cabinload show vehicle medium-van      face by face\n";
}

std::string pets() {
  std::string out =
      paragraph(
          "WARNING: a parked vehicle is never a place to leave an animal unattended, nor a "
          "child, nor an adult who depends on others. The lines below are of law and of "
          "survival, not of comfort; local law may forbid it altogether.") +
      "The air may not become warmer than\n";
  const occupants::Pet dog;
  occupants::Pet old = dog, flat = dog;
  old.age = occupants::Age::old;
  flat.nose = occupants::Nose::short_nosed;
  for (const occupants::Pet& pet : {dog, flat, old}) {
    const occupants::AnimalLimit l = occupants::limit_of(pet);
    out += fmt::format("  {:<28}{}\n", l.animal, temperature(l.T_most_K));
  }
  const occupants::AnimalLimit l = occupants::limit_of(dog);
  out += "\n" + paragraph(fmt::format(
                    "{}. Humidity lowers the line, because panting dries: {:.0f} % at {} (FAA, "
                    "DOT/FAA/AM-87/8), less above.",
                    l.source, 100 * occupants::humidity_line_1(l.T_general_K),
                    temperature(l.T_general_K)));
  return out +
         paragraph(
             "cabinload pets asks at every hour: if the cooling stops now, how many minutes "
             "until that line? A unit fails, a battery runs empty, a breaker trips, the "
             "shade moves on. The surfaces around stay warm while the air is held cool, so "
             "it is often less than ten minutes. An alarm tells; it does not cool.") +
         "  cabinload pets --pet \"dog 20 kg\" --from 06-01 --to 08-31\n"
         "  cabinload pets --why                   the heat of the worst failure\n"
         "  cabinload pets --help                  its options\n";
}

std::string weather_topic() {
  std::string out = paragraph(
      "A year of hourly weather is what every answer rests on. A typical year is put "
      "together from ordinary months: the hottest summer of ten is not in it. Shipped "
      "with the program:");
  for (const weather::ShippedYear& y : weather::shipped_years())
    out += fmt::format("  {:<20}{}, {}\n", y.key, y.place, y.climate);
  for (const weather::NamedDay& d : weather::extreme_days())
    out += report::wrapped(fmt::format("  {:<20}{}", d.key, d.about), 80, 22);
  return out + "\n" +
         paragraph(
             "Elsewhere: an hourly file of the place (EPW, TMY2, TMY3 CSV, NSRDB PSM CSV, "
             "PVGIS CSV; weather/README.md says where they come from), or tomorrow's "
             "forecast as a typed day: --high, --low, --dew-point. The dew point counts: "
             "humid nights stay warm, and a coil in humid air dries instead of cooling.") +
         paragraph(
             "A car park is hotter than the station on the airfield's grass, and a valley "
             "is cooler at night: the file's place is not the parking place.") +
         "  cabinload weather tucson               what a file holds, its gaps\n"
         "  cabinload hold --high \"100 degF\" --low \"75 degF\" --dew-point \"60 degF\"\n"
         "  cabinload hold --weather extreme-hot-humid\n";
}

}  // namespace

const std::vector<HelpTopic>& help_topics() {
  static const std::vector<HelpTopic> topics = {
      {"night", "what a night is, when it is held, why it is lost", night},
      {"limit", "how warm the bed may become; set point, humidity", limit},
      {"capacity", "what a data plate says and what a hot roof leaves of it", capacity},
      {"shade", "what shade and covers let through", shade},
      {"insulation", "what the levels mean and where they help", insulation},
      {"pets", "the lines for animals, and why minutes count", pets},
      {"weather", "which weather an answer rests on", weather_topic}};
  return topics;
}

}  // namespace cabinload::cli
