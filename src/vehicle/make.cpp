// SPDX-License-Identifier: Apache-2.0
#include <fmt/format.h>
#include <algorithm>
#include <cabinload/core/constants.hpp>
#include <cabinload/core/error.hpp>
#include <cabinload/vehicle/catalogue.hpp>
#include <cmath>

namespace cabinload::vehicle {
namespace {

using core::kDegree_rad;
using core::kPi;

constexpr double kSideWindow_m2 = 0.35, kRoofVent_m2 = 0.16;  // common sizes, engineering judgement
constexpr double kContents_1 = 0.10;      // of the inside volume taken by furniture
constexpr double kLiftedLength_1 = 0.7;   // of a pop-top's length that lifts; invented
constexpr double kMostGlass_1 = 0.8;      // of a face that can be glass; engineering judgement
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

/// What differs between bodies beyond their size.
struct Details {
  bool cab;  ///< windscreen, cab doors, dashboard and seats inside the cabin
  const char* skin;
  double skin_m;
  int side_windows;
  double leakage_area_m2;  ///< at 4 Pa, of the body at its own size; see details_of
  double canvas_height_m;
};

/// Leakage: engineering judgement. About 2 cm2 per m2 of a van's shell (doors, drip holes, the
/// cab's flap vents) gives 0.85 to 1.4 air changes an hour at 2 m/s and 5 K; a glued sandwich box
/// about half; canvas with its zips several times as much.
Details details_of(const std::string& body) {
  if (body == "small-van") return {true, "steel", 0.0008, 1, 0.0045, 0};
  if (body == "medium-van") return {true, "steel", 0.0008, 2, 0.0080, 0};
  if (body == "long-van") return {true, "steel", 0.0008, 3, 0.0100, 0};
  if (body == "box-body") return {false, "grp", 0.002, 3, 0.0050, 0};
  if (body == "pop-top") return {true, "steel", 0.0008, 2, 0.0250, 0.55};
  return {false, "aluminium", 0.0008, 4, 0.0090, 0};
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

class Builder {
 public:
  Builder(const Choice& choice)
      : choice_(choice),
        body_(entry(bodies(), choice.body, "body")),
        paint_(entry(paints(), choice.paint, "paint")),
        details_(details_of(choice.body)),
        build_(build_of(entry(insulations(), choice.insulation, "insulation").key)) {
    cover_ = cover_of(choice.cover, choice.cover_hours);
    v_.body = choice.body;
    v_.insulation = choice.insulation;
    v_.paint = choice.paint;
    v_.length_m = dimension(choice.length_m.value_or(body_.length_m), "length");
    v_.width_m = dimension(choice.width_m.value_or(body_.width_m), "width");
    v_.height_m = dimension(choice.height_m.value_or(body_.height_m), "height");
    v_.overall_height_m = body_.overall_height_m + v_.height_m - body_.height_m;
    v_.heading_rad = choice.heading_rad;
    v_.floor_area_m2 = v_.length_m * v_.width_m;
    const double lifted_m = details_.canvas_height_m * kLiftedLength_1;  // mean over the floor
    v_.volume_m3 = v_.floor_area_m2 * (v_.height_m + lifted_m) * (1 - kContents_1);
    // Cracks grow with the shell when the body's own size is overridden.
    v_.leakage_area_m2 = details_.leakage_area_m2 *
                         box_m2(v_.length_m, v_.width_m, v_.height_m) /
                         box_m2(body_.length_m, body_.width_m, body_.height_m);
    v_.air_capacity_factor_1 =
        2.0;  // air with curtains, bedding surface, clothes: engineering judgement
    v_.moisture_capacity_factor_1 = 3.0;  // bedding and wood take up vapour: engineering judgement
  }

  Vehicle build() {
    add_windows();
    add_shell();
    add_furnishings();
    return std::move(v_);
  }

 private:
  static double dimension(double value_m, const char* what) {
    if (!(value_m > 0 && value_m < 20))
      throw core::RangeError(
          fmt::format("{} = {:g} m, must be above 0 and below 20 m", what, value_m));
    return value_m;
  }
  void window(const std::string& name, const char* type, double area_m2, double tilt_deg,
              double azimuth_rad) {
    Window w = window_of(type);
    w.name = name;
    w.area_m2 = area_m2;
    w.tilt_rad = tilt_deg * kDegree_rad;
    w.azimuth_rad = azimuth_rad;
    (cover_.side == CoverSide::outside ? w.outside_cover : w.inside_cover) = cover_;
    v_.windows.push_back(w);
  }
  void add_windows() {
    if (details_.cab) {
      window("windscreen", "windscreen", 0.62 * v_.width_m * 1.1, 50, 0);
      window("left cab window", "side-glass", 0.40, 90, -kPi / 2);
      window("right cab window", "side-glass", 0.40, 90, kPi / 2);
    }
    const int count = choice_.side_windows.value_or(details_.side_windows);
    if (count < 0 || count > kMostSideWindows)
      throw core::RangeError(
          fmt::format("{} side windows, must be between 0 and {}", count, kMostSideWindows));
    for (int i = 0; i < count; ++i)
      window(fmt::format("side window {}", i + 1), "acrylic-double", kSideWindow_m2, 90,
             i % 2 == 0 ? kPi / 2 : -kPi / 2);
    window("roof vent", "roof-vent", kRoofVent_m2, 0, 0);
  }
  double glass_m2(double tilt_rad, double azimuth_rad) const {
    double sum = 0;
    for (const Window& w : v_.windows) {
      const bool same_side = std::abs(std::remainder(w.azimuth_rad - azimuth_rad, 2 * kPi)) < 0.01;
      if (tilt_rad < 0.01 ? w.tilt_rad < 0.01 : w.tilt_rad > 0.01 && same_side) sum += w.area_m2;
    }
    return sum;
  }
  Surface& face(const char* name, Part part, double area_m2, double tilt_deg, double azimuth_rad) {
    Surface s;
    s.name = name;
    s.part = part;
    s.area_m2 = area_m2;
    s.tilt_rad = tilt_deg * kDegree_rad;
    s.azimuth_rad = azimuth_rad;
    s.absorptance_1 = paint_.absorptance_1;
    s.emittance_out_1 = paint_.emittance_1;
    return v_.surfaces.emplace_back(s);
  }
  void add_shell() {
    const double L = v_.length_m, W = v_.width_m, H = v_.height_m;
    const struct {
      const char* name;
      Part part;
      double gross_m2, tilt_deg, azimuth_rad;
    } faces[] = {{"roof", Part::roof, L * W, 0, 0},
                 {"left wall", Part::wall, L * H, 90, -kPi / 2},
                 {"right wall", Part::wall, L * H, 90, kPi / 2},
                 {"front", Part::wall, W * H, 90, 0},
                 {"rear", Part::wall, W * H, 90, kPi}};
    for (const auto& f : faces) {
      const double glass = glass_m2(f.tilt_deg * kDegree_rad, f.azimuth_rad);
      if (glass > kMostGlass_1 * f.gross_m2)
        throw core::RangeError(fmt::format("{}: {:.2f} m2 of windows do not fit {:.2f} m2 of it",
                                           f.name, glass, f.gross_m2));
      shell_layers(face(f.name, f.part, f.gross_m2 - glass, f.tilt_deg, f.azimuth_rad), details_,
                   build_);
    }
    Surface& floor = face("floor", Part::floor, L * W, 180, 0);
    floor.outside = Outside::underbody;
    floor.absorptance_1 = 0;
    floor_layers(floor, details_, build_);
    if (details_.canvas_height_m <= 0) return;
    const struct {
      const char* name;
      double length_m, azimuth_rad;
    } sides[] = {{"left canvas", kLiftedLength_1 * L, -kPi / 2},
                 {"right canvas", kLiftedLength_1 * L, kPi / 2},
                 {"front canvas", W, 0},
                 {"rear canvas", W, kPi}};
    for (const auto& side : sides) {
      Surface& s = face(side.name, Part::wall, side.length_m * details_.canvas_height_m, 90,
                        side.azimuth_rad);
      s.absorptance_1 = 0.6;  // grey canvas; engineering judgement
      s.layers = {layer_of("canvas", 0.001)};
    }
  }
  void furnish(const char* name, double area_m2, std::vector<Layer> layers, double share_1) {
    Furnishing f;
    f.name = name;
    f.area_m2 = area_m2;
    f.layers = std::move(layers);
    f.solar_share_1 = share_1;
    v_.furnishings.push_back(std::move(f));
  }
  void add_furnishings() {
    // Areas and shares of the sun: engineering judgement.
    furnish("bed", 1.9 * std::min(1.4, 0.8 * v_.width_m),
            {layer_of("foam-mattress", 0.10), layer_of("cloth", 0.003)}, 0.12);
    furnish("cabinets", 0.8 * v_.floor_area_m2,
            {layer_of("plywood", 0.006), layer_of("plywood", 0.003)}, 0.08);
    if (!details_.cab) return;
    furnish("dashboard", 0.6 * v_.width_m,
            {layer_of("pvc", 0.003), layer_of("polyurethane-foam", 0.008), layer_of("pvc", 0.0015)},
            0.25);
    furnish("seats", 1.6, {layer_of("foam-mattress", 0.06), layer_of("cloth", 0.003)}, 0.20);
  }

  const Choice& choice_;
  const Body& body_;
  const Paint& paint_;
  Details details_;
  Build build_;
  Cover cover_;
  Vehicle v_;
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
  return Builder(choice).build();
}

double u_value_W_m2K(const std::vector<Layer>& layers, double R_si_m2K_W, double R_se_m2K_W) {
  double R = R_si_m2K_W + R_se_m2K_W;
  for (const Layer& l : layers) R += l.resistance_m2K_W();
  return 1.0 / R;
}

}  // namespace cabinload::vehicle
