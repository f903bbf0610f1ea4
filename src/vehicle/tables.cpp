// SPDX-License-Identifier: Apache-2.0
// Tables of what is built in: data with their sources, no logic.
#include <cabinload/vehicle/catalogue.hpp>

namespace cabinload::vehicle {
namespace {

constexpr const char* kIso10456 = "EN ISO 10456:2007 / EN ISO 10077-2:2003";
constexpr const char* kCibse = "CIBSE Guide A tables 3.36 and 3.37";
constexpr const char* kIso10456Memory = "EN ISO 10456:2007 tables 3 and 4, from memory";
constexpr const char* kHeatMemory = "EN ISO 10456:2007; specific heat from memory";
constexpr const char* kJudgement = "engineering judgement";
constexpr const char* kInvented = "invented, generic dimensions of no maker";

}  // namespace

const std::vector<Material>& materials() {
  static const std::vector<Material> table = {
      {"steel", 50, 7800, 450, kIso10456},
      {"stainless-steel", 17, 7900, 460, kIso10456},
      {"aluminium", 160, 2800, 880, kIso10456},
      {"grp", 0.4, 1900, 1200,
       "EN ISO 10456:2007 glass-fibre composite; specific heat engineering judgement"},
      {"plywood", 0.13, 500, 1600, kIso10456Memory},
      {"birch-plywood", 0.17, 700, 1600,
       "EN ISO 10456:2007 plywood of 700 kg/m3, from memory; birch is about that dense: common "
       "practice, no published source"},
      {"hardwood", 0.18, 700, 1600, kIso10456},
      {"softwood", 0.13, 500, 1600, kIso10456},
      {"pvc-foam", 0.035, 37, 1470, kCibse},
      {"polyurethane-foam", 0.028, 30, 1470, kCibse},
      {"phenolic-foam", 0.04, 30, 1400, kCibse},
      {"polystyrene-foam", 0.036, 30, 1450,
       "EN ISO 10456:2007 (specific heat, from memory); conductivity engineering judgement"},
      {"extruded-polystyrene", 0.034, 33, 1450,
       "specific heat EN ISO 10456:2007, from memory; the rest engineering judgement, aged board"},
      {"expanded-polystyrene", 0.038, 20, 1450,
       "specific heat EN ISO 10456:2007, from memory; the rest engineering judgement"},
      {"polyethylene-foam", 0.040, 30, 2300,
       "closed-cell sheet; engineering judgement, specific heat of polyethylene from memory"},
      {"elastomeric-foam", 0.05, 70, 1500, kHeatMemory},
      {"sheep-wool", 0.04, 20, 1700,
       "Materials 2024, 17, 3339 (conductivity 0.033 to 0.044); density and specific heat "
       "engineering judgement"},
      {"mineral-wool", 0.038, 30, 1030,
       "specific heat EN ISO 10456:2007, from memory; the rest engineering judgement"},
      {"cork", 0.05, 150, 1800,
       "expanded cork board; engineering judgement near EN ISO 10456:2007 (specific heat 1560 "
       "to 2000), from memory"},
      {"felt", 0.05, 120, 1300,
       "EN ISO 10456:2007 felt underlay; specific heat engineering judgement"},
      {"carpet", 0.06, 200, 1300, kIso10456Memory},
      {"vinyl", 0.25, 1700, 1400, kHeatMemory},
      {"pvc", 0.17, 1390, 900, kIso10456},
      {"rubber", 0.17, 1200, 1400,
       "EN ISO 10456:2007 rubber floor covering; specific heat engineering judgement"},
      {"acrylic", 0.18, 1180, 1500, kIso10456},
      {"polycarbonate", 0.2, 1200, 1200, kIso10456},
      {"glass", 1.0, 2500, 750, kIso10456},
      {"polypropylene", 0.22, 910, 1800, kIso10456Memory},
      {"seat-foam", 0.045, 55, 1400,
       "moulded seat foam is denser than a mattress; engineering judgement"},
      {"foam-mattress", 0.04, 35, 1400, kJudgement},
      {"cloth", 0.06, 200, 1300, "as carpet, EN ISO 10456:2007, from memory"},
      {"canvas", 0.1, 500, 1300, kJudgement},
      {"hat-rib", 1.7, 270, 450,
       "two 1 mm steel webs over 60 mm of width and air: area-weighted steel; engineering "
       "judgement"},
      {"air-gap", 0.11, 0, 0,
       "ISO 6946, unventilated, horizontal heat flow: 0.17 m2 K/W for 15 mm, 0.18 for 25 mm and "
       "more, from memory; use a thickness of 20 mm"},
  };
  return table;
}

const std::vector<Paint>& paints() {
  static const std::vector<Paint> table = {
      {"white", 0.30, 0.90,
       "light shells reflect 0.60 to 0.75: Levinson et al. 2011 (0.60 typical white or silver) and "
       "handbook 0.25 to 0.30 for fresh white, from memory; dust: engineering judgement"},
      {"silver", 0.43, 0.85, "Levinson et al. 2011: tested silver shell, reflectance 0.57"},
      {"light-grey", 0.50, 0.90, kJudgement},
      {"sand", 0.45, 0.90, kJudgement},
      {"red", 0.70, 0.90, kJudgement},
      {"green", 0.75, 0.90, kJudgement},
      {"blue", 0.75, 0.90, kJudgement},
      {"dark-grey", 0.88, 0.90, kJudgement},
      {"black", 0.95, 0.90, "Levinson et al. 2011: black shell, reflectance 0.05"},
      {"bare-aluminium", 0.40, 0.20, "weathered sheet; engineering judgement"},
  };
  return table;
}

const std::vector<Insulation>& insulations() {
  static const std::vector<Insulation> table = {
      {"bare", "sheet metal, thin lining", kJudgement},
      {"thin", "20 mm foam between the ribs, ribs bridging (10 % of the area); the cab as made",
       kJudgement},
      {"good", "40 mm foam, ribs covered with 5 mm; the cab as made", kJudgement},
      {"very-good", "60 mm foam, ribs covered with 20 mm; the cab as made", kJudgement},
  };
  return table;
}

const std::vector<Glazing>& glazings() {
  // Areal heat capacity: thickness x density x specific heat of EN ISO 10456 glass (2500, 750) or
  // acrylic (1180, 1500).
  static const std::vector<Glazing> table = {
      {"windscreen", "laminated, green tint", 1, 0.005, 5.6, 0.50, 0.43, 9400, 0.84,
       "green laminated glass transmits about half of the sun and lets 0.6 in all through, from "
       "memory; the limit of California's 2009 draft rule is 0.50 in all"},
      {"side-glass", "tempered, green tint", 1, 0.004, 5.7, 0.54, 0.40, 7500, 0.84,
       "4 mm green float glass, from memory: 0.65 in all; California's 2009 draft rule limits that "
       "to 0.60"},
      {"clear-glass", "tempered, clear", 1, 0.004, 5.7, 0.82, 0.10, 7500, 0.84,
       "4 mm clear float glass, from memory"},
      {"dark-glass", "tempered, dark", 1, 0.004, 5.7, 0.30, 0.62, 7500, 0.84, kJudgement},
      {"acrylic-double", "hinged caravan window, two acrylic sheets", 2, 0.003, 3.0, 0.70, 0.10,
       10600, 0.88,
       "two 3 mm sheets (EN ISO 10456) and an ISO 6946 air space give 2.6 W/m2K; edges and hinges "
       "to 3.0 and optics: engineering judgement"},
      {"roof-vent", "opal acrylic double dome", 2, 0.003, 3.2, 0.40, 0.20, 10600, 0.88, kJudgement},
  };
  return table;
}

const std::vector<CoverType>& covers() {
  static const std::vector<CoverType> table = {
      {"none", CoverSide::none, 1, 0, 0, "no cover"},
      {"curtain", CoverSide::inside, 0.20, 0.40, 0.03, kJudgement},
      {"reflective-mat", CoverSide::inside, 0.0, 0.65, 0.10,
       "foil on thin foam, loosely fitted; engineering judgement"},
      {"thermal-mat", CoverSide::inside, 0.0, 0.55, 0.30,
       "foil on 10 mm foam, fitted; engineering judgement"},
      {"outside-mat", CoverSide::outside, 0.05, 0.60, 0.12,
       "reflective mat with thin foam, outside the glass, loosely fitted; engineering judgement"},
      {"outside-cloth", CoverSide::outside, 0.10, 0.45, 0.03,
       "light awning cloth hung clear of the glass, air behind it; engineering judgement"},
      {"outside-mesh", CoverSide::outside, 0.35, 0.30, 0.0,
       "dark mesh outside the glass; engineering judgement"},
  };
  return table;
}

const std::vector<Body>& bodies() {
  static const std::vector<Body> table = {
      {"small-van", "small delivery van, no standing height, cab open to the back", 3.0, 1.50, 1.25,
       1.85, kInvented},
      {"medium-van", "medium high-roof van, cab open to the back", 4.3, 1.75, 1.85, 2.60,
       kInvented},
      {"long-van", "long high-roof van, cab open to the back", 5.3, 1.80, 1.95, 2.80, kInvented},
      {"box-body", "insulated box behind a closed cab", 4.0, 2.10, 2.00, 3.20, kInvented},
      {"pop-top", "small van, lifting roof raised on canvas sides; overall height with it down",
       3.6, 1.55, 1.30, 2.00, kInvented},
      {"trailer", "travel trailer", 4.6, 2.10, 1.95, 2.65, kInvented},
      {"sleeper-cab", "truck cab with a bunk behind the seats, much glass in front", 2.2, 2.10,
       1.80, 3.40, kInvented},
      {"car", "glazed saloon car, for the published closed-vehicle studies", 2.3, 1.40, 1.10, 1.45,
       kInvented},
  };
  return table;
}

}  // namespace cabinload::vehicle
