// SPDX-License-Identifier: Apache-2.0
#include <fmt/format.h>
#include <algorithm>
#include <cabinload/core/constants.hpp>
#include <cabinload/core/error.hpp>
#include <cabinload/vehicle/catalogue.hpp>
#include <cmath>
#include <map>

namespace cabinload::vehicle {
namespace {

using core::kDegree_rad;
using core::kPi;

constexpr double kSideWindow_m2 = 0.35, kRoofVent_m2 = 0.16;  // common sizes, engineering judgement
constexpr double kContents_1 = 0.10;     // of the inside volume taken by furniture
constexpr double kLiftedLength_1 = 0.7;  // of a pop-top's length that lifts; invented
constexpr double kMostCab_1 = 0.45;      // of the inside length that is cab at most
constexpr double kMostGlass_1 = 0.8;     // of a face that can be glass; engineering judgement
constexpr int kMostSideWindows = 20;

template <class Entry>
const Entry& entry(const std::vector<Entry>& table, const std::string& key, const char* what) {
  std::vector<std::string> keys;
  for (const Entry& e : table) {
    if (e.key == key) return e;
    keys.push_back(e.key);
  }
  const auto [text, hint] = core::unknown_name(key, keys);
  throw core::RangeError(std::string(what) + " " + text + " (" + hint + ")");
}

double box_m2(double length_m, double width_m, double height_m) {
  return 2 * (length_m * width_m + length_m * height_m + width_m * height_m);
}

/// What differs between bodies beyond their size. A body with a cab has windscreen, cab doors,
/// dashboard and front seats inside the cabin.
struct Details {
  double cab_length_m = 0;  ///< 0: no cab
  double windscreen_m2 = 0, windscreen_tilt_deg = 0, cab_window_m2 = 0;
  const char* skin = "steel";
  double skin_m = 0.0008;
  int side_windows = 0;
  bool roof_vent = true;
  double leakage_area_m2 = 0;  ///< at 4 Pa, of the body at its own size
  double canvas_height_m = 0;
};

/// Cab sizes: engineering judgement. Leakage: engineering judgement. About 2 cm2 per m2 of a van's
/// shell (doors, drip holes, the cab's flap vents) gives 0.85 to 1.4 air changes an hour at 2 m/s
/// and 5 K; a glued sandwich box about half; canvas with its zips several times as much.
Details details_of(const std::string& body, double width_m) {
  Details d;
  d.cab_length_m = 1.2;
  d.windscreen_m2 = 0.68 * width_m;
  d.windscreen_tilt_deg = 50;
  d.cab_window_m2 = 0.40;
  if (body == "small-van") {
    d.side_windows = 1, d.leakage_area_m2 = 0.0045;
  } else if (body == "medium-van") {
    d.side_windows = 2, d.leakage_area_m2 = 0.0080;
  } else if (body == "long-van") {
    d.side_windows = 3, d.leakage_area_m2 = 0.0100;
  } else if (body == "pop-top") {
    d.side_windows = 2, d.leakage_area_m2 = 0.0250, d.canvas_height_m = 0.55;
  } else if (body == "sleeper-cab") {
    d.windscreen_m2 = 1.00 * width_m, d.windscreen_tilt_deg = 75, d.cab_window_m2 = 0.60;
    d.roof_vent = false, d.leakage_area_m2 = 0.0060;
  } else {
    d = {};
    const bool box = body == "box-body";
    d.skin = box ? "grp" : "aluminium";
    d.skin_m = box ? 0.002 : 0.0008;
    d.side_windows = box ? 3 : 4;
    d.leakage_area_m2 = box ? 0.0050 : 0.0090;
  }
  return d;
}

struct Build {
  double foam_m, rib_break_m, floor_foam_m, framing_1;
};

Build build_of(const std::string& level) {
  if (level == "bare") return {0, 0, 0, 0};
  if (level == "thin") return {0.020, 0, 0.010, 0.10};
  if (level == "good") return {0.040, 0.005, 0.020, 0.10};
  return {0.060, 0.020, 0.040, 0.08};
}

void shell_layers(Surface& s, const Details& d, const Build& b) {
  s.layers = {layer_of(d.skin, d.skin_m)};
  if (b.foam_m > 0) {
    s.layers.push_back(layer_of("pvc-foam", b.foam_m));
    s.framing_fraction = b.framing_1;
    // A sandwich of laminate has wooden battens, a sheet-metal body has ribs of sheet.
    const bool metal = std::string_view(d.skin) != "grp";
    s.framing = {layer_of(d.skin, d.skin_m),
                 layer_of(metal ? "hat-rib" : "softwood", b.foam_m - b.rib_break_m)};
    if (b.rib_break_m > 0) s.framing.push_back(layer_of("pvc-foam", b.rib_break_m));
    s.framing.push_back(layer_of("plywood", 0.004));
    s.layers.push_back(layer_of("plywood", 0.004));
  } else {
    s.layers.push_back(layer_of("felt", 0.003));
  }
}

void floor_layers(Surface& s, const Details& d, const Build& b) {
  s.layers = {layer_of(d.skin, d.skin_m)};
  if (b.floor_foam_m > 0) s.layers.push_back(layer_of("polystyrene-foam", b.floor_foam_m));
  s.layers.push_back(layer_of("plywood", 0.012));
  s.layers.push_back(layer_of("vinyl", 0.002));
}

/// A cab as it left the factory: sheet, air, trim. Engineering judgement.
std::vector<Layer> trimmed(const Details& d) {
  return {layer_of(d.skin, d.skin_m), layer_of("air-gap", 0.020), layer_of("felt", 0.004),
          layer_of("pvc", 0.002)};
}
std::vector<Layer> cab_floor(const Details& d) {
  return {layer_of(d.skin, d.skin_m), layer_of("felt", 0.010), layer_of("rubber", 0.004)};
}

/// Sizes, paint and covers of a choice, and the making of faces, windows and furnishings.
class Builder {
 public:
  explicit Builder(const Choice& choice)
      : choice_(choice),
        body_(entry(bodies(), choice.body, "body")),
        paint_(entry(paints(), choice.paint, "paint")) {
    cover_ = cover_of(choice.cover, choice.cover_hours);
    v_.body = choice.body;
    v_.insulation = entry(insulations(), choice.insulation, "insulation").key;
    v_.paint = choice.paint;
    v_.length_m = dimension(choice.length_m.value_or(body_.length_m), "length");
    v_.width_m = dimension(choice.width_m.value_or(body_.width_m), "width");
    v_.height_m = dimension(choice.height_m.value_or(body_.height_m), "height");
    v_.overall_height_m = body_.overall_height_m + v_.height_m - body_.height_m;
    v_.heading_rad = choice.heading_rad;
    v_.floor_area_m2 = v_.length_m * v_.width_m;
    v_.air_capacity_factor_1 =
        2.0;  // air with curtains, bedding surface, clothes: engineering judgement
    v_.moisture_capacity_factor_1 = 3.0;  // bedding and wood take up vapour: engineering judgement
  }

 protected:
  /// Cracks grow with the shell when the body's own size is overridden.
  void leak(double own_area_m2) {
    v_.leakage_area_m2 = own_area_m2 * box_m2(v_.length_m, v_.width_m, v_.height_m) /
                         box_m2(body_.length_m, body_.width_m, body_.height_m);
  }
  void window(const std::string& name, const char* type, const char* face, double area_m2,
              double tilt_deg, double azimuth_rad) {
    Window w = window_of(type);
    w.name = name;
    w.area_m2 = area_m2;
    w.tilt_rad = tilt_deg * kDegree_rad;
    w.azimuth_rad = azimuth_rad;
    (cover_.side == CoverSide::outside ? w.outside_cover : w.inside_cover) = cover_;
    v_.windows.push_back(w);
    glass_m2_[face] += area_m2;
  }
  /// A face of the shell; its windows are taken out of the gross area.
  Surface& face(const char* name, Part part, double gross_m2, double tilt_deg, double azimuth_rad) {
    const double glass = glass_m2_[name];
    if (glass > kMostGlass_1 * gross_m2)
      throw core::RangeError(fmt::format("{}: {:.2f} m2 of windows do not fit {:.2f} m2 of it",
                                         name, glass, gross_m2));
    Surface s;
    s.name = name;
    s.part = part;
    s.area_m2 = gross_m2 - glass;
    s.tilt_rad = tilt_deg * kDegree_rad;
    s.azimuth_rad = azimuth_rad;
    s.absorptance_1 = paint_.absorptance_1;
    s.emittance_out_1 = paint_.emittance_1;
    if (part == Part::floor) {
      s.outside = Outside::underbody;
      s.absorptance_1 = 0;
    }
    return v_.surfaces.emplace_back(s);
  }
  void furnish(const char* name, double area_m2, std::vector<Layer> layers, double share_1) {
    Furnishing f;
    f.name = name;
    f.area_m2 = area_m2;
    f.layers = std::move(layers);
    f.solar_share_1 = share_1;
    v_.furnishings.push_back(std::move(f));
  }
  void dashboard(double area_m2, double share_1) {
    furnish("dashboard", area_m2,
            {layer_of("steel", 0.0015), layer_of("polypropylene", 0.003),
             layer_of("polyurethane-foam", 0.008), layer_of("pvc", 0.0015)},
            share_1);
  }
  void seats(double area_m2, double share_1) {  // frame, foam, cloth
    furnish("seats", area_m2,
            {layer_of("steel", 0.0012), layer_of("seat-foam", 0.06), layer_of("cloth", 0.003)},
            share_1);
  }

  const Choice& choice_;
  const Body& body_;
  const Paint& paint_;
  Cover cover_;
  Vehicle v_;

 private:
  static double dimension(double value_m, const char* what) {
    if (!(value_m > 0 && value_m < 20))
      throw core::RangeError(
          fmt::format("{} = {:g} m, must be above 0 and below 20 m", what, value_m));
    return value_m;
  }
  std::map<std::string, double> glass_m2_;  // by face
};

/// Vans, boxes and trailers: a box to live in, with a cab in front where there is one.
class VanBuilder : Builder {
 public:
  explicit VanBuilder(const Choice& choice)
      : Builder(choice),
        details_(details_of(choice.body, v_.width_m)),
        build_(build_of(choice.insulation)) {
    const double lifted_m = details_.canvas_height_m * kLiftedLength_1;  // mean over the floor
    v_.volume_m3 = v_.floor_area_m2 * (v_.height_m + lifted_m) * (1 - kContents_1);
    leak(details_.leakage_area_m2);
    cab_m_ = std::min(details_.cab_length_m, kMostCab_1 * v_.length_m);
  }

  Vehicle build() {
    add_windows();
    add_living_space();
    if (cab_m_ > 0) add_cab();
    if (details_.canvas_height_m > 0) add_canvas();
    add_furnishings();
    return std::move(v_);
  }

 private:
  void add_windows() {
    if (cab_m_ > 0) {
      window("windscreen", "windscreen", "front", details_.windscreen_m2,
             details_.windscreen_tilt_deg, 0);
      window("left cab window", "side-glass", "left cab side", details_.cab_window_m2, 90,
             -kPi / 2);
      window("right cab window", "side-glass", "right cab side", details_.cab_window_m2, 90,
             kPi / 2);
    }
    const int count = choice_.side_windows.value_or(details_.side_windows);
    if (count < 0 || count > kMostSideWindows)
      throw core::RangeError(
          fmt::format("{} side windows, must be between 0 and {}", count, kMostSideWindows));
    for (int i = 0; i < count; ++i)
      window(fmt::format("side window {}", i + 1), "acrylic-double",
             i % 2 == 0 ? "right wall" : "left wall", kSideWindow_m2, 90,
             i % 2 == 0 ? kPi / 2 : -kPi / 2);
    if (details_.roof_vent) window("roof vent", "roof-vent", "roof", kRoofVent_m2, 0, 0);
  }
  void add_living_space() {
    const double L = v_.length_m - cab_m_, W = v_.width_m, H = v_.height_m;
    shell_layers(face("roof", Part::roof, L * W, 0, 0), details_, build_);
    shell_layers(face("left wall", Part::wall, L * H, 90, -kPi / 2), details_, build_);
    shell_layers(face("right wall", Part::wall, L * H, 90, kPi / 2), details_, build_);
    if (cab_m_ <= 0) shell_layers(face("front", Part::wall, W * H, 90, 0), details_, build_);
    shell_layers(face("rear", Part::wall, W * H, 90, kPi), details_, build_);
    floor_layers(face("floor", Part::floor, L * W, 180, 0), details_, build_);
  }
  /// The cab stays as it left the factory, whatever the living space has.
  void add_cab() {
    const double W = v_.width_m, H = v_.height_m;
    face("cab roof", Part::roof, cab_m_ * W, 0, 0).layers = trimmed(details_);
    face("left cab side", Part::wall, cab_m_ * H, 90, -kPi / 2).layers = trimmed(details_);
    face("right cab side", Part::wall, cab_m_ * H, 90, kPi / 2).layers = trimmed(details_);
    face("front", Part::wall, W * H, 90, 0).layers = trimmed(details_);
    face("cab floor", Part::floor, cab_m_ * W, 180, 0).layers = cab_floor(details_);
  }
  void add_canvas() {
    const struct {
      const char* name;
      double length_m, azimuth_rad;
    } sides[] = {{"left canvas", kLiftedLength_1 * v_.length_m, -kPi / 2},
                 {"right canvas", kLiftedLength_1 * v_.length_m, kPi / 2},
                 {"front canvas", v_.width_m, 0},
                 {"rear canvas", v_.width_m, kPi}};
    for (const auto& side : sides) {
      Surface& s = face(side.name, Part::wall, side.length_m * details_.canvas_height_m, 90,
                        side.azimuth_rad);
      s.absorptance_1 = 0.6;  // grey canvas; engineering judgement
      s.layers = {layer_of("canvas", 0.001)};
    }
  }
  /// Pieces, areas and shares of the sun: engineering judgement. A medium van comes to a bed of 25
  /// kg, 68 kg of cabinets and about 95 kg of clothes, food, water and pots behind their doors,
  /// which feel the cabin through them.
  void add_furnishings() {
    furnish("bed", 1.9 * std::min(1.4, 0.8 * v_.width_m),
            {layer_of("plywood", 0.012), layer_of("foam-mattress", 0.10), layer_of("cloth", 0.003)},
            0.12);
    furnish("cabinets", 1.2 * v_.floor_area_m2,
            {layer_of("plywood", 0.012), layer_of("plywood", 0.003)}, 0.08);
    furnish("stowed things", 0.5 * v_.floor_area_m2,
            {layer_of("softwood", 0.05), layer_of("plywood", 0.012)}, 0);
    if (cab_m_ <= 0) return;
    dashboard(0.6 * v_.width_m, 0.25);
    seats(1.6, 0.20);
  }

  Details details_;
  Build build_;
  double cab_m_ = 0;
};

/// A glazed car for the published closed-vehicle studies: sloping glass all round, no living space.
/// Areas from the outlines of an ordinary saloon (engineering judgement); trim is sheet, air, felt
/// and plastic whatever insulation is asked for.
class CarBuilder : Builder {
 public:
  explicit CarBuilder(const Choice& choice) : Builder(choice) {
    v_.insulation = "bare";
    v_.volume_m3 = v_.floor_area_m2 * v_.height_m * (1 - kContents_1);
    leak(0.0015);  // one air change an hour at 20 K and 1 m/s
  }

  /// Pieces from first principles (engineering judgement): doors of two sheets with trim, 2.9 m2 of
  /// seats with 27 kg of frames and 13 kg of foam and cloth, a dashboard over 10 kg of steel.
  Vehicle build() {
    const double L = v_.length_m, W = v_.width_m, H = v_.height_m;
    window("windscreen", "windscreen", "front", 0.72 * W, 32, 0);
    window("rear window", "side-glass", "rear", 0.50 * W, 35, kPi);
    window("left windows", "side-glass", "left side", 0.24 * L, 75, -kPi / 2);
    window("right windows", "side-glass", "right side", 0.24 * L, 75, kPi / 2);
    face("roof", Part::roof, 0.55 * L * W, 0, 0).layers = trimmed({});
    const std::vector<Layer> door = {layer_of("steel", 0.0008), layer_of("air-gap", 0.020),
                                     layer_of("steel", 0.0008), layer_of("felt", 0.004),
                                     layer_of("polypropylene", 0.0025)};
    face("left side", Part::wall, L * (0.24 + 0.55 * H), 90, -kPi / 2).layers = door;
    face("right side", Part::wall, L * (0.24 + 0.55 * H), 90, kPi / 2).layers = door;
    bulkhead("front", W * (0.72 + 0.55), 0);
    bulkhead("rear", W * (0.50 + 0.55), kPi);
    face("floor", Part::floor, L * W, 180, 0).layers = {
        layer_of("steel", 0.0012), layer_of("felt", 0.015), layer_of("rubber", 0.002),
        layer_of("carpet", 0.006)};
    dashboard(0.6 * W, 0.30);
    furnish("rear shelf", 0.4 * W,
            {layer_of("steel", 0.0008), layer_of("felt", 0.010), layer_of("cloth", 0.003)}, 0.10);
    seats(2.1 * W, 0.30);
    return std::move(v_);
  }

 private:
  /// Towards engine bay and boot, which are taken as air in the shade under the vehicle.
  void bulkhead(const char* name, double gross_m2, double azimuth_rad) {
    Surface& s = face(name, Part::wall, gross_m2, 90, azimuth_rad);
    s.layers = {layer_of("steel", 0.0010), layer_of("felt", 0.015), layer_of("pvc", 0.002)};
    s.outside = Outside::underbody;
    s.absorptance_1 = 0;
  }
};

}  // namespace

Layer layer_of(const std::string& material, double thickness_m) {
  const Material& m = entry(materials(), material, "material");
  return {material, thickness_m, m.k_W_mK, m.rho_kg_m3, m.c_J_kgK};
}

Window window_of(const std::string& glazing) {
  const Glazing& g = entry(glazings(), glazing, "glazing");
  Window w;
  w.type = g.key;
  w.panes = g.panes;
  w.pane_thickness_m = g.pane_thickness_m;
  w.U_W_m2K = g.U_W_m2K;
  w.solar_transmittance_1 = g.solar_transmittance_1;
  w.solar_absorptance_1 = g.solar_absorptance_1;
  w.areal_heat_capacity_J_m2K = g.areal_heat_capacity_J_m2K;
  w.emittance_1 = g.emittance_1;
  return w;
}

Cover cover_of(const std::string& cover, const core::DaySchedule& hours) {
  const CoverType& t = entry(covers(), cover, "cover");
  return {t.key, t.side, t.solar_transmittance_1, t.solar_reflectance_1, t.resistance_m2K_W, hours};
}

Vehicle make(const Choice& choice) {
  if (choice.body == "car") return CarBuilder(choice).build();
  return VanBuilder(choice).build();
}

double u_value_W_m2K(const std::vector<Layer>& layers, double R_si_m2K_W, double R_se_m2K_W) {
  double R = R_si_m2K_W + R_se_m2K_W;
  for (const Layer& l : layers) R += l.resistance_m2K_W();
  return 1.0 / R;
}

}  // namespace cabinload::vehicle
