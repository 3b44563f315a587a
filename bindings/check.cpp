#include "check.hpp"

#include "arguments.hpp"
#include "dive.hpp"
#include "replay.hpp"
#include "results.hpp"

#include <upline/check.hpp>
#include <upline/check_text.hpp>

#include <array>
#include <cstddef>
#include <optional>
#include <string>
#include <utility>
#include <vector>

namespace upline::python {
namespace {

constexpr std::array minutes_names{"without travel", "with travel", "leave at"};
constexpr std::array bottom_names{"surface", "arrival"};
constexpr std::array switch_names{"on arrival", "inside", "before"};
constexpr std::array depth_names{"as stated", "gauge", "fresh", "sea"};
constexpr std::array verdict_names{"satisfies", "does not", "cannot tell"};
constexpr std::array mishap_names{"row left out", "minute short", "switch missed",
                                  "switch late",  "leaves late",  "deeper"};
constexpr std::array oddity_names{
    "times disagree",  "order",        "not above bottom", "run time falls", "gas too rich",
    "switch off rows", "gas too lean", "depth off grid",   "row missing",    "minutes off"};

template <class Names, class Value>
const char* name_of(const Names& names, Value value) {
  return names[static_cast<std::size_t>(value)];
}

std::optional<double> number_if(py::handle value, const std::string& field) {
  if (value.is_none()) return {};
  return number(value, field.c_str(), "min");
}

TableRow row_of(py::handle value, std::size_t j) {
  const char* allowed = "(depth, minutes), with run time of leaving and mix if they are written";
  const char* remedy = "write rows as (24, 2)";
  const auto parts = items(value, "rows", allowed, remedy);
  if (parts.size() != 4)
    throw InvalidInput("rows", std::to_string(parts.size()) + " items in a row", allowed, remedy);
  const std::string name = detail::row_name(j);
  TableRow row;
  row.depth = number(parts[0], (name + " depth").c_str(), "depth");
  row.minutes = number_if(parts[1], name + " minutes");
  row.leave_at = number_if(parts[2], name + " leave at");
  if (!parts[3].is_none()) row.gas = gas_of(parts[3], (name + " gas").c_str());
  return row;
}

/// What the caller or the table itself says; None is not said.
void say(Table& table, const py::dict& said) {
  table.water_said = truth(said["water"], "water");
  if (!said["minutes"].is_none())
    table.minutes = static_cast<MinutesMean>(
        choice(said["minutes"], "minutes", {"without travel", "with travel", "leave at"}));
  if (!said["bottom_from"].is_none())
    table.bottom_from = static_cast<BottomTimeFrom>(
        choice(said["bottom_from"], "bottom_from", {"surface", "arrival"}));
  if (!said["switch_minute"].is_none())
    table.switch_minute = static_cast<SwitchMinute>(
        choice(said["switch_minute"], "switch_minute", {"on arrival", "inside", "before"}));
  if (const auto time = number_if(said["switch_time"], "switch_time"))
    table.switch_time = minutes(*time);
}

// ---- to Python ---------------------------------------------------------------------------------

py::dict reading_of(const ReadingVerdict& r) {
  const Units units = r.reading.units;
  py::dict d;
  d["minutes"] = name_of(minutes_names, r.reading.minutes);
  d["bottom_from"] = name_of(bottom_names, r.reading.bottom_from);
  d["switch_minute"] = name_of(switch_names, r.reading.switch_minute);
  d["depth_of"] = name_of(depth_names, r.reading.depth_of);
  d["units"] = units_name(units);
  d["first_in_full"] = r.first_in_full;
  d["satisfies"] = r.satisfies;
  d["margin"] = r.margin;
  d["tightest"] = result_in(in_metres(r.tightest), length_unit(units));
  d["surfacing_fraction"] = r.surfacing_fraction;
  d["anchor"] = py::none();
  if (r.anchor) d["anchor"] = result_in(in_metres(*r.anchor), length_unit(units));
  d["run_time"] = in_minutes(r.run_time);
  return d;
}

py::object minutes_or_none(const std::optional<Minutes>& x) {
  if (!x) return py::none();
  return py::float_(in_minutes(*x));
}

double tightest_in(const ReadingVerdict& r, Units units) {
  if (r.surfacing_margin <= r.margin) return 0.0;
  return result_in(in_metres(r.tightest), length_unit(units));
}

/// Shows one check as plain data.
class Shown {
public:
  explicit Shown(const Check& check)
      : c_(check), governing_(check.verdict.readings[check.verdict.governing]),
        unit_(length_unit(governing_.reading.units)) {}

  [[nodiscard]] py::dict data() const {
    py::dict d;
    d["verdict"] = name_of(verdict_names, c_.verdict.verdict);
    d["refused"] = c_.refused();
    d["unsettled"] = c_.unsettled();
    d["sentence"] = verdict_text(c_);
    d["text"] = text_of(c_);
    py::list readings;
    for (const ReadingVerdict& one : c_.verdict.readings) readings.append(reading_of(one));
    d["readings"] = readings;
    d["governing"] = c_.verdict.governing;
    d["margin"] = governing_.margin;
    d["surfacing_fraction"] = governing_.surfacing_fraction;
    d["rows"] = rows();
    d["missing_minutes"] = minutes_or_none(c_.repair.missing);
    d["at_least"] = in_minutes(c_.repair.at_least);
    d["at_last_stop"] = minutes_or_none(c_.repair.at_last_stop);
    d["repaired"] = repaired();
    d["pair_at_low"] = c_.at_low ? py::object(pair(*c_.at_low)) : py::none();
    d["factor_pairs"] = pairs();
    d["consequences"] = consequences();
    d["findings"] = findings();
    const detail::CheckText words(c_);
    d["tried"] = words.how_many();
    d["reading"] = words.governing_reading();
    d["addition"] = words.repair() + (c_.unsettled() ? "" : " " + words.pairs());
    d["assumptions"] = words.assumptions();
    d["replay"] = findings_of(c_.replay, governing_.reading.units);
    d["units"] = units_name(governing_.reading.units);
    return d;
  }

  /// What a card shows of it.
  [[nodiscard]] py::dict cell() const {
    const Units units = governing_.reading.units;
    py::dict d;
    d["depth"] = c_.table.depth;
    d["bottom_time"] = c_.table.bottom_time;
    d["verdict"] = name_of(verdict_names, c_.verdict.verdict);
    d["refused"] = c_.refused();
    d["unsettled"] = c_.unsettled();
    d["sentence"] = verdict_text(c_);
    d["margin"] = governing_.margin;
    d["tightest"] = tightest_in(governing_, units);
    d["surfacing_fraction"] = governing_.surfacing_fraction;
    d["run_time"] = in_minutes(governing_.run_time);
    d["missing_minutes"] = minutes_or_none(c_.repair.missing);
    d["at_least"] = in_minutes(c_.repair.at_least);
    py::list readings;
    for (const ReadingVerdict& one : c_.verdict.readings) readings.append(reading_of(one));
    d["readings"] = readings;
    d["findings"] = findings();
    d["cautions"] = shown_cautions(c_.replay.cautions, units);
    d["units"] = units_name(units);
    return d;
  }

private:
  [[nodiscard]] double length(Depth depth) const { return result_in(in_metres(depth), unit_); }
  [[nodiscard]] double half_time(std::size_t compartment) const {
    return compartment_set(c_.rules.model).nitrogen.half_time[compartment];
  }

  [[nodiscard]] py::list rows() const {
    py::list rows;
    for (const FollowedRow& one : c_.rows) {
      py::dict d;
      d["depth"] = length(one.depth);
      d["arrives"] = in_minutes(one.arrives);
      d["departs"] = in_minutes(one.departs);
      d["arrives_on"] = one.arrives_on;
      d["gas"] = one.gas;
      d["po2"] = one.po2;
      d["margin"] = one.controlling.value;
      d["held_by"] = half_time(one.controlling.compartment);
      d["runner_up"] = half_time(one.runner_up.compartment);
      d["gap"] = one.runner_up.value - one.controlling.value;
      d["added"] = in_minutes(one.added);
      rows.append(d);
    }
    return rows;
  }

  /// Rows as they are written, with what is missing added; new stops among them.
  [[nodiscard]] py::object repaired() const {
    if (!c_.repair.missing) return py::none();
    const bool leave_at = governing_.reading.minutes == MinutesMean::leave_at;
    py::list rows;
    double later = 0.0;
    std::size_t next = 0;
    for (std::size_t j = 0; j <= c_.table.rows.size(); ++j) {
      for (; next < c_.repair.new_stops.size() && c_.repair.new_stops[next].before_row == j;
           ++next) {
        const NewStop& stop = c_.repair.new_stops[next];
        later += in_minutes(stop.minutes);
        rows.append(row(length(stop.depth), in_minutes(stop.minutes), py::none(), true));
      }
      if (j == c_.table.rows.size()) break;
      const TableRow& written = c_.table.rows[j];
      later += c_.repair.added[j];
      const double number = *detail::number_of(written, governing_.reading.minutes);
      py::object gas = written.gas ? py::cast(*written.gas) : py::none();
      rows.append(row(written.depth, number + (leave_at ? later : c_.repair.added[j]), gas, false));
    }
    return rows;
  }

  static py::dict row(double depth, double number, const py::object& gas, bool is_new) {
    py::dict d;
    d["depth"] = depth;
    d["number"] = number;
    d["gas"] = gas;
    d["new"] = is_new;
    return d;
  }

  [[nodiscard]] py::list pairs() const {
    py::list pairs;
    for (const FactorPair& one : c_.pairs) pairs.append(pair(one));
    return pairs;
  }

  [[nodiscard]] py::dict pair(const FactorPair& one) const {
    py::dict d;
    d["low"] = one.low;
    d["high"] = one.high;
    d["depth"] = length(one.depth);
    d["run_time"] = in_minutes(one.at);
    d["half_time"] = half_time(one.compartment);
    return d;
  }

  [[nodiscard]] py::list consequences() const {
    py::list found;
    for (const Consequence& one : c_.consequences) {
      py::dict d;
      d["what"] = name_of(mishap_names, one.mishap);
      d["text"] = detail::mishap_text(one, c_.table, governing_.reading.units);
      d["row"] = one.row ? py::object(py::int_(*one.row + 1)) : py::none();
      d["amount"] = one.mishap == Mishap::deeper ? result_in(one.amount, unit_) : one.amount;
      d["surfacing_fraction"] = one.surfacing_fraction;
      d["margin"] = one.margin;
      d["missing_minutes"] = minutes_or_none(one.missing);
      found.append(d);
    }
    return found;
  }

  [[nodiscard]] py::list findings() const {
    py::list found;
    for (const Finding& one : c_.findings) {
      const bool at_row = one.row < c_.table.rows.size();
      py::dict d;
      d["what"] = name_of(oddity_names, one.oddity);
      d["text"] = detail::FindingText(one, c_.table, governing_.reading.units)();
      d["row"] = at_row ? py::object(py::int_(one.row + 1)) : py::none();
      d["value"] = one.value;
      d["proposed"] = one.proposed ? py::object(py::float_(*one.proposed)) : py::none();
      found.append(d);
    }
    return found;
  }

  const Check& c_;
  const ReadingVerdict& governing_;
  double unit_;
};

} // namespace

std::pair<Table, Rules> table_of(py::handle rows, const py::dict& said, const py::args& given) {
  Asked asked = asked_by(given);
  const Units units = asked.rules.units;
  Table table;
  table.depth = depth_in(asked.dive.levels.front().depth, units);
  table.bottom_time = in_minutes(asked.dive.levels.front().leave_at);
  for (const GasChoice& one : asked.dive.gases) {
    TableGas gas{one.gas, {}};
    if (one.switch_depth) gas.depth = depth_in(*one.switch_depth, units);
    table.gases.push_back(gas);
  }
  if (asked.dive.travel)
    table.travel = TableGas{asked.dive.travel->gas, depth_in(asked.dive.travel->to, units)};
  table.environment = asked.dive.environment;
  table.start = asked.dive.start;
  for (const py::object& one : items(rows, "rows", "a list of rows", "write [(24, 2), (21, 1)]"))
    table.rows.push_back(row_of(one, table.rows.size()));
  if (truth(said["units"], "units")) table.units = units;
  say(table, said);
  return {std::move(table), std::move(asked.rules)};
}

const char* verdict_word(Verdict verdict) { return name_of(verdict_names, verdict); }

py::dict cell_of(const Check& check) { return Shown(check).cell(); }

py::dict checked(py::handle rows, const py::dict& said, const py::args& given) {
  auto [table, rules] = table_of(rows, said, given);
  std::optional<Check> result;
  {
    py::gil_scoped_release others; // a check takes some hundredth of a second
    result = check(table, rules);
  }
  return Shown(*result).data();
}

void register_check(py::module_& module) {
  module.def("check", [](const py::object& rows, const py::dict& said, const py::args& given) {
    return checked(rows, said, given);
  });
}

} // namespace upline::python
