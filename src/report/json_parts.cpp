// SPDX-License-Identifier: Apache-2.0
#include "json_parts.hpp"

#include <fmt/format.h>
#include <algorithm>
#include <cabinload/core/constants.hpp>
#include <cabinload/report/json.hpp>
#include <cmath>
#include <limits>

namespace cabinload::report {

Json number(double value) {
  return std::isfinite(value) ? Json(value) : Json(nullptr);
}
double endless_of(const Json& value) {
  return value.is_null() ? std::numeric_limits<double>::infinity() : value.get<double>();
}

double number_of(const Json& value) {
  return value.is_null() ? std::numeric_limits<double>::quiet_NaN() : value.get<double>();
}

Json clock_json(double second_of_day) {
  return std::isnan(second_of_day) ? Json(nullptr) : Json(core::clock_text(second_of_day));
}
double clock_of(const Json& j) {
  if (j.is_null()) return std::numeric_limits<double>::quiet_NaN();
  const auto text = j.get<std::string>();
  const std::optional<int> minutes = core::parse_clock_min(text);
  if (!minutes) throw core::Error(fmt::format("'{}' is no time of day, as '21:30' is", text));
  return 60.0 * *minutes;
}

std::string moment_text(const Moment& m) {
  return core::iso_text(m.date) + " " + core::clock_text(m.second_of_day);
}
Moment moment_of(const Json& j) {
  const auto text = j.get<std::string>();
  const std::size_t space = std::min(text.find(' '), text.size());
  return {core::parse_date(text.substr(0, space)),
          clock_of(text.substr(std::min(space + 1, text.size())))};
}

Json why_json(answers::Why why) {
  return why == answers::Why::none ? Json(nullptr) : Json(answers::why_key(why));
}
answers::Why why_of(const Json& j) {
  return j.is_null() ? answers::Why::none : answers::why_from_key(j.get<std::string>());
}

Json likely_json(const answers::Likely& l) {
  return {{"low", number(l.low)}, {"median", number(l.median)}, {"high", number(l.high)}};
}
answers::Likely likely_of(const Json& j) {
  return {number_of(j.at("low")), number_of(j.at("median")), number_of(j.at("high"))};
}

namespace {

Json flows_json(const std::vector<answers::Ledger>& flows) {
  Json all = Json::array();
  for (const answers::Ledger& l : flows) {
    Json accounts = Json::array();
    for (const answers::LedgerAccount& a : l.accounts) {
      Json rows = Json::array();
      for (const answers::LedgerRow& r : a.rows)
        rows.push_back({{"key", r.key}, {"text", r.words}, {"W", r.W}});
      accounts.push_back({{"key", a.key},
                          {"text", a.words},
                          {"rows", rows},
                          {"in_W", a.in_W()},
                          {"out_W", a.out_W()}});
    }
    all.push_back({{"title", l.title},
                   {"date", core::iso_text(l.date)},
                   {"from", core::clock_text(l.second_of_day)},
                   {"hours", l.hours},
                   {"outdoor_degC", core::to_celsius(l.T_out_K)},
                   {"cabin_degC", core::to_celsius(l.T_air_K)},
                   {"accounts", accounts},
                   {"moisture_W", l.latent_W}});
  }
  return all;
}

std::vector<answers::Ledger> flows_of(const Json& j) {
  std::vector<answers::Ledger> all;
  for (const Json& x : j) {
    answers::Ledger l;
    l.title = x.at("title");
    l.date = core::parse_date(x.at("date").get<std::string>());
    l.second_of_day = clock_of(x.at("from"));
    l.hours = x.at("hours");
    l.T_out_K = core::to_kelvin(x.at("outdoor_degC"));
    l.T_air_K = core::to_kelvin(x.at("cabin_degC"));
    l.latent_W = x.at("moisture_W");
    for (const Json& a : x.at("accounts")) {
      answers::LedgerAccount account{a.at("key"), a.at("text"), {}};
      for (const Json& r : a.at("rows"))
        account.rows.push_back({r.at("key"), r.at("text"), r.at("W")});
      l.accounts.push_back(std::move(account));
    }
    all.push_back(std::move(l));
  }
  return all;
}

}  // namespace

Json header_json(const answers::Header& h) {
  Json j;
  j["schema_version"] = kSchemaVersion;
  j["answer"] = h.answer;
  j["program_version"] = h.program_version;
  j["scenario"] = {{"name", h.scenario_name}, {"summary", h.scenario_line}};
  j["weather"] = {{"file", h.weather_file},
                  {"sha256", h.weather_sha256},
                  {"place", h.weather_place},
                  {"source", h.weather_source},
                  {"latitude_deg", h.latitude_rad / core::kDegree_rad},
                  {"longitude_deg", h.longitude_rad / core::kDegree_rad}};
  j["period"] = {{"from", core::iso_text(h.from)}, {"to", core::iso_text(h.to)}};
  j["warnings"] = h.warnings;
  j["cautions"] = Json::array();
  for (const auto& c : h.cautions)
    j["cautions"].push_back({{"id", c.id}, {"signal", c.signal}, {"text", c.text}});
  j["assumptions"] = Json::array();
  for (const auto& a : h.assumptions)
    j["assumptions"].push_back({{"key", a.key}, {"text", a.text}});
  if (!h.flows.empty()) j["flows"] = flows_json(h.flows);
  return j;
}

answers::Header header_of(const Json& j) {
  answers::Header h;
  h.answer = j.at("answer");
  h.program_version = j.at("program_version");
  h.scenario_name = j.at("scenario").at("name");
  h.scenario_line = j.at("scenario").at("summary");
  const Json& w = j.at("weather");
  h.weather_file = w.at("file");
  h.weather_sha256 = w.at("sha256");
  h.weather_place = w.at("place");
  h.weather_source = w.at("source");
  h.latitude_rad = w.at("latitude_deg").get<double>() * core::kDegree_rad;
  h.longitude_rad = w.at("longitude_deg").get<double>() * core::kDegree_rad;
  h.from = core::parse_date(j.at("period").at("from").get<std::string>());
  h.to = core::parse_date(j.at("period").at("to").get<std::string>());
  h.warnings = j.at("warnings").get<std::vector<std::string>>();
  for (const Json& c : j.at("cautions"))
    h.cautions.push_back({c.at("id"), c.at("signal"), c.at("text")});
  for (const Json& a : j.at("assumptions")) h.assumptions.push_back({a.at("key"), a.at("text")});
  if (j.contains("flows")) h.flows = flows_of(j.at("flows"));
  return h;
}

void require_answer(const Json& j, const char* answer, const std::string& file) {
  if (j.at("answer") != answer)
    throw core::InputError(
        {file, 0, 0, "answer",
         fmt::format("holds the answer '{}', not '{}'", j.at("answer").get<std::string>(), answer),
         ""});
  if (const int found = j.at("schema_version"); found != kSchemaVersion)
    throw core::InputError({file, 0, 0, "schema_version",
                            fmt::format("is {}, this program reads {}", found, kSchemaVersion),
                            ""});
}

core::InputError unreadable(const std::exception& e, const std::string& file) {
  const std::string said = e.what();  // "[json.exception.out_of_range.403] key 'at' not found"
  const std::size_t id = said.starts_with("[json.exception") ? said.find("] ") : said.npos;
  return core::InputError(
      {file, 0, 0, "",
       "the stored answer cannot be read: " + (id == said.npos ? said : said.substr(id + 2)),
       "this file is damaged"});
}

std::string answer_of(const std::string& text, const std::string& file) {
  try {
    return Json::parse(text).at("answer").get<std::string>();
  } catch (const Json::exception& e) {
    throw unreadable(e, file);
  }
}

}  // namespace cabinload::report
