// SPDX-License-Identifier: Apache-2.0
// The answer in a sentence, and the season as a calendar of nights.
#include <fmt/format.h>
#include <algorithm>
#include <array>
#include <cabinload/core/constants.hpp>
#include <cabinload/report/night_mark.hpp>
#include <cmath>
#include <iterator>
#include <map>

#include "page_parts.hpp"
#include "sentences.hpp"
#include "text.hpp"

namespace cabinload::report::page {
namespace {

using answers::Hold;
using answers::HoldNight;

constexpr std::array<NightMark, 4> kMarks{NightMark::held, NightMark::close, NightMark::lost,
                                          NightMark::quiet};

const char* css(NightMark mark) {
  return mark == NightMark::quiet ? "quiet" : mark_word(mark);
}

NightMark mark(const Page& page, const HoldNight& n) {
  return mark_of(n, page.hold.T_limit_K, page.hold.cut_off_1);
}

int count(const Page& page, NightMark wanted) {
  const auto& nights = page.hold.each_night;
  return static_cast<int>(std::count_if(
      nights.begin(), nights.end(), [&](const HoldNight& n) { return mark(page, n) == wanted; }));
}

Html picture(NightMark m) {
  return {fmt::format("<svg class=\"mark {0}\" aria-hidden=\"true\"><use href=\"#m-{0}\"/></svg>",
                      css(m))};
}

std::string share_words(NightMark m, int n) {
  return m == NightMark::quiet ? plural(n, "night needs no cooling", "nights need no cooling")
                               : fmt::format("{} {}", n, mark_word(m));
}

/// For those who are promised something, not for those who promise.
std::string sure_words(const Hold& a) {
  if (a.spread) return how_sure(a);
  return a.in_period == 1
             ? "One calculation of this van as described, on one night. Real vans of its kind "
               "differ: count on less."
             : "One calculation of this van as described, in one typical year. Real vans of its "
               "kind and hotter years hold fewer nights: count on fewer.";
}

/// A bar of the nights that need cooling, told in words below it.
Html shares(const Page& page) {
  if (page.hold.needing_cooling < 2) return {};
  std::string bar, words;
  for (const NightMark m : kMarks) {
    const int n = count(page, m);
    if (m != NightMark::quiet && n > 0)
      bar += fmt::format("<span class=\"{}\" style=\"flex-grow:{}\"></span>", css(m), n);
    if (n > 0) words += "<li>" + picture(m).text + plain(share_words(m, n)).text + "</li>";
  }
  return {"<div class=\"bar\" aria-hidden=\"true\">" + bar + "</div>\n<ul class=\"key\">" + words +
          "</ul>\n"};
}

Html fact(const char* what, const Html& value) {
  return wrap("<div><dt>", plain(what), "</dt>") + wrap("<dd>", value, "</dd></div>\n");
}

/// Figures that people ask for next.
Html facts(const Page& page) {
  const Hold& a = page.hold;
  Html out =
      fact("Limit at the bed", both([&](const Style& s) { return degrees(a.T_limit_K, s); }));
  if (a.needing_cooling > 0) {
    const bool one = a.needing_cooling == 1;
    out += fact(one ? "Electricity that night" : "Electricity, middle night",
                both([&](const Style& s) { return energy(a.electric_Wh.median, s); }));
    out += fact(one ? "Battery at dawn" : "Lowest battery at dawn",
                plain(fmt::format("{:.0f} %", 100 * a.battery_at_dawn_1.worst)));
  }
  if (a.soak)
    out += fact("From a hot, closed vehicle to cool",
                plain(std::isfinite(a.soak->minutes)
                          ? duration(a.soak->minutes)
                          : fmt::format("not within {} h", answers::kSoakHours)));
  return wrap("<dl class=\"facts\">\n", out, "</dl>\n");
}

/// Months in the order in which the period meets them; a period may pass New Year.
std::vector<int> months_of(const Hold& a) {
  std::vector<int> months;
  for (const HoldNight& n : a.each_night)
    if (std::find(months.begin(), months.end(), n.date.month) == months.end())
      months.push_back(n.date.month);
  return months;
}

Html calendar(const Page& page) {
  std::map<std::pair<int, int>, std::size_t> at;
  const auto& nights = page.hold.each_night;
  for (std::size_t i = 0; i < nights.size(); ++i)
    at[{nights[i].date.month, nights[i].date.day}] = i;
  const std::vector<int> months = months_of(page.hold);
  std::string out = fmt::format(
      "<table class=\"calendar{}\" id=\"calendar\" tabindex=\"0\" "
      "aria-describedby=\"reading\">",
      months.size() > 7 ? " year" : "");
  out +=
      "<caption class=\"unseen\">Every night of the period: held, close, lost, or no cooling "
      "needed</caption><thead><tr><th scope=\"col\"><span class=\"unseen\">Month</span></th>";
  for (int day = 1; day <= 31; ++day)
    out += fmt::format("<th scope=\"col\"{}>{}</th>",
                       day % 5 == 0 || day == 1 ? "" : " class=\"in\"", day);
  out += "</tr></thead>\n<tbody>";
  for (const int month : months) {
    out += fmt::format("<tr><th scope=\"row\">{}</th>",
                       std::string(core::month_name(month)).substr(0, 3));
    for (int day = 1; day <= core::days_in_month(month); ++day) {
      const auto found = at.find({month, day});
      if (found == at.end()) {
        out += "<td></td>";
        continue;
      }
      const NightMark m = mark(page, nights[found->second]);
      out += fmt::format("<td data-i=\"{}\">{}<span class=\"unseen\">{}</span></td>", found->second,
                         picture(m).text, mark_word(m));
    }
    out += "</tr>\n";
  }
  out += "</tbody></table>\n<p id=\"reading\" class=\"reading\" aria-live=\"polite\"></p>\n";
  return {out};
}

Html legend(const Page& page) {
  const auto item = [](NightMark m, const Html& words) {
    return wrap("<li>", picture(m), "") + words + Html{"</li>"};
  };
  const double cut_off_1 = page.hold.cut_off_1;
  const Html close = both([&](const Style& s) {
    return fmt::format(
        "close: held, but the bed came within {} of the limit or the battery within {:.0f} "
        "points of its cut-off ({:.0f} %)",
        core::format_quantity(kCloseToLimit_K, core::Quantity::temperature_difference, s.units, 1),
        100 * kCloseToCutOff_1, 100 * cut_off_1);
  });
  return wrap("<ul class=\"key\">",
              item(NightMark::held, plain("held")) + item(NightMark::close, close) +
                  item(NightMark::lost,
                       plain("lost: the bed was above the limit, or other loads went dark")) +
                  item(NightMark::quiet, plain("needs no cooling")),
              "</ul>\n");
}

Html month_table(const Page& page) {
  using Kind = Table::Kind;
  Table t("Nights by month", {{"Month", Kind::text},
                              {"nights"},
                              {"need cooling"},
                              {"held"},
                              {"lost mostly to", Kind::text},
                              {"electricity a night"},
                              {"hottest bed"}});
  for (const answers::HoldMonth& m : page.hold.by_month) {
    const bool needs = m.needing_cooling > 0;
    t.row(
        {plain(core::month_name(m.month)), plain(std::to_string(m.nights)),
         plain(std::to_string(m.needing_cooling)), plain(needs ? std::to_string(m.held) : "-"),
         plain(why_word(m.most_frequent_why)),
         needs ? both([&](const Style& s) { return energy(m.electric_Wh_median, s); }) : plain("-"),
         both([&](const Style& s) { return degrees(m.bed_peak_K, s); })});
  }
  return t.html();
}

Html night_table(const Page& page) {
  using Kind = Table::Kind;
  Table t("Nights that need cooling", {{"Evening", Kind::text},
                                       {"outcome", Kind::text},
                                       {"bed peak"},
                                       {"at"},
                                       {"above for"},
                                       {"unit off"},
                                       {"electricity"},
                                       {"battery at dawn"},
                                       {"reason", Kind::text}});
  for (const HoldNight& n : page.hold.each_night) {
    if (!n.needs_cooling) continue;
    const NightMark m = mark(page, n);
    t.row({plain(core::long_text(n.date)), picture(m) + plain(mark_word(m)),
           both([&](const Style& s) { return degrees(n.bed_peak_K, s); }),
           plain(core::clock_text(n.bed_peak_second_of_day)),
           plain(n.minutes_above > 0 ? duration(n.minutes_above) : "-"),
           both([&](const Style& s) { return degrees(n.bed_peak_unit_off_K, s); }),
           both([&](const Style& s) { return energy(n.electric_Wh, s); }),
           plain(fmt::format("{:.0f} %", 100 * n.battery_at_dawn_1)), plain(lost_word(n))},
          css(m));
  }
  return t.html();
}

}  // namespace

Html opening(const Page& page) {
  const Hold& a = page.hold;
  const answers::Header& h = a.header;
  Html out = wrap("<div class=\"who\">", long_foreign(h.scenario_name), "</div>\n");
  out += wrap("<h1>", both([&](const Style& s) { return verdict(a, s); }), "</h1>\n");
  if (a.needing_cooling > 0)
    out += wrap("<p class=\"sure\"><strong>How sure?</strong> ", plain(sure_words(a)), "</p>\n");
  std::vector<answers::Caution> of_this_van;  // not at the end of the page alone
  std::copy_if(
      h.cautions.begin(), h.cautions.end(), std::back_inserter(of_this_van),
      [](const answers::Caution& c) { return c.signal == "DANGER" || c.id == "heat_sleepers"; });
  if (!of_this_van.empty()) out += caution_list(of_this_van);
  if (page.pets.answer) {
    const auto animal = [&](const Style& s) {
      const std::string running = running_words(*page.pets.answer, s);
      return running.starts_with("DANGER") ? running : verdict(*page.pets.answer, s);
    };
    out += wrap("<p class=\"alarm\"><a href=\"#animals\">The animal</a>: ", both(animal), "</p>\n");
  }
  out += shares(page) + facts(page);
  out += wrap("<p class=\"subject\">", foreign(h.scenario_line), ".</p>\n");
  out += wrap("<p class=\"subject\">Weather: ", foreign(h.weather_place), "");
  if (!h.weather_source.empty()) out += plain(", ") + foreign(h.weather_source);
  return out + wrap("; ", plain(period_words(h)), ".</p>\n");
}

Html season(const Page& page, Json& data) {
  const Hold& a = page.hold;
  data["each_night"] = Json::array();
  if (a.in_period < 2) return {};
  for (const HoldNight& n : a.each_night)
    data["each_night"].push_back({{"words", core::long_text(n.date)},
                                  {"mark", mark_word(mark(page, n))},
                                  {"bed_degC", number(core::to_celsius(n.bed_peak_K))},
                                  {"dawn_percent", std::lround(100 * n.battery_at_dawn_1)},
                                  {"why", lost_word(n)}});
  data["hardest"] = shown_night(a);
  Html out = calendar(page) + legend(page);
  out +=
      wrap("<p class=\"screen\">", plain("A night belongs to the date of its evening."), "</p>\n");
  out += folded("By month", month_table(page));
  if (a.needing_cooling > 0) out += folded("Every night that needs cooling", night_table(page));
  return section("season", "The season, night by night", out);
}

}  // namespace cabinload::report::page
